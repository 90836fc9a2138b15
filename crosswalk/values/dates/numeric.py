"""Dates in figures only: which of the three is the day is decided by what is possible, then by the context."""

from __future__ import annotations

import re
from datetime import date, timedelta

from crosswalk.values.dates.moments import Moment, days_in
from crosswalk.values.reading import Context

# Without a clock: a two-digit year that would lie after this one, and not after the pivot, fits both centuries.
_TRIPLE = re.compile(r"(?<![\d./-])(\d\d?)([/.-])(\d\d?)\2(\d{4}|\d\d)(?![\d]|[/.]\d)", re.ASCII)
SAFE_TWO_DIGITS = 27
MOST_SEASONS = 4  # 1999/02 may be three seasons, 1995/09 is a month
DoubtRows = tuple[tuple[str, str, tuple[str, ...]], ...]
Order = tuple[int, int, int]  # year, month, day
NUMERIC_DOUBT = "the order of day and month is not decided; both readings are possible"


def full_year(digits: str, context: Context) -> int:
    """The year that two or four digits mean, two by the window of the context.

    >>> from crosswalk.values.reading import Context
    >>> full_year("87", Context()), full_year("06", Context()), full_year("12", Context(latest_year=1999))
    (1987, 2006, 1912)
    """
    if len(digits) > 2:
        return int(digits)
    two = int(digits)
    year = 2000 + two if two <= context.century_pivot else 1900 + two
    if year > context.latest_year and year - 100 >= context.earliest_year:
        return year - 100
    if year < context.earliest_year and year + 100 <= context.latest_year:
        return year + 100
    return year


def century_doubt(digits: str, context: Context) -> DoubtRows:
    """A doubt where the two digits fit two centuries and the window only just prefers one."""
    year = full_year(digits, context)
    other = year - 100
    if len(digits) > 2 or year < 2000 or year % 100 < SAFE_TWO_DIGITS or other < context.earliest_year:
        return ()
    return (("DT07", f'"{digits}" may be {other} or {year}', (str(other), str(year))),)


def possible(year: int, month: int, day: int) -> bool:
    """Whether the calendar has that day.

    >>> possible(1987, 4, 31)
    False
    """
    return 1 <= month <= 12 and 1 <= day <= days_in(year, month)


def triple(parts: tuple[str, str, str], separator: str, context: Context) -> Moment:
    """The moment that three figures mean, with a doubt where more than one order is possible."""
    one, two, three = parts
    zeros = _with_zeros(parts, context)
    if zeros:
        return zeros
    if len(one) == 4:
        return _checked((int(one), int(two), int(three)), (int(one), int(three), int(two)))
    if len(one) == 2 and int(one) > 31 and len(three) <= 2:
        return _hyphenated(one, two, three, context)
    if len(three) == 4 or len(one) == 1 or separator in "/.":
        return _day_or_month_first(one, two, three, separator, context)
    return _hyphenated(one, two, three, context)


def orders(text: str) -> tuple[bool, bool]:
    """Whether the text has a date that only works day first, and one that only works month first.

    >>> orders("13/4/87 and 4/5/87")
    (True, False)
    """
    day_first = month_first = False
    for match in _TRIPLE.finditer(text):
        first, second = int(match[1]), int(match[3])
        day_first = day_first or (12 < first <= 31 and 1 <= second <= 12)
        month_first = month_first or (12 < second <= 31 and 1 <= first <= 12)
    return day_first, month_first


def own_order(text: str) -> bool | None:
    """Whether the text's own dates put the day first; None where they do not say, or say both."""
    day_first, month_first = orders(text)
    return day_first if day_first != month_first else None


def _hyphenated(one: str, two: str, three: str, context: Context) -> Moment:
    """`87-04-03`, `6-22-95`, `25-12-03`: with hyphens, the year may also come first."""
    if int(one) > 31 or int(one) == 0:
        moment = _checked((full_year(one, context), int(two), int(three)))
        moment.doubts += century_doubt(one, context)
        return moment
    moment = _day_or_month_first(one, two, three, "-", context)
    year = full_year(one, context)
    if possible(year, int(two), int(three)) and int(one) < SAFE_TWO_DIGITS and not moment.doubts and one != three:
        other = f"{year}-{int(two):02}-{int(three):02}"
        if context.day_first is None:
            moment.doubts += (("DT16", "the year may come first or last", (moment.edtf, other)),)
    return moment


def _day_or_month_first(one: str, two: str, three: str, separator: str, context: Context) -> Moment:
    year, a, b = full_year(three, context), int(one), int(two)
    day_first, month_first = possible(year, b, a), possible(year, a, b)
    if day_first and month_first and a != b:
        moment = _by_context(year, a, b, separator, context)
    elif day_first or month_first:
        moment = Moment(str(year).zfill(4), *((b, a) if day_first else (a, b)))
        if a != b and context.day_first not in (None, day_first):
            moment.doubts = (("DT15", "the figures fit the other order of day and month only", (moment.edtf,)),)
    else:
        return _impossible(*_month_in_reach((year, a, b), (year, b, a), context))
    moment.doubts += century_doubt(three, context)
    return moment


def _month_in_reach(month_first: Order, day_first: Order, context: Context) -> list[Order]:
    """Both orders, the one first whose month there is: `29/2/79` is about a day that February lacks, not month 29."""
    orders = (day_first, month_first) if context.day_first else (month_first, day_first)
    return sorted(orders, key=lambda order: order[1] > 12)


def _by_context(year: int, a: int, b: int, separator: str, context: Context) -> Moment:
    """Both orders are possible: the context decides; without it the more usual order is proposed, with a doubt."""
    dotted = separator == "."  # points are the German and Scandinavian way, day first; not everywhere, so a doubt stays
    day_first = context.day_first if context.day_first is not None else dotted
    readings = (Moment(str(year).zfill(4), b, a), Moment(str(year).zfill(4), a, b))
    moment = readings[0 if day_first else 1]
    if context.day_first is None:
        other = readings[1 if day_first else 0]
        moment.doubts = ((_order_code(context), NUMERIC_DOUBT, (moment.edtf, other.edtf)),)
    return moment


def _order_code(context: Context) -> str:
    """DT15 where the column's own evidence contradicts itself."""
    return "DT15" if any(name == "column-contradicts" for name, _ in context.options) else "DT03"


def _with_zeros(parts: tuple[str, str, str], context: Context) -> Moment | None:
    """`1987-00-00`, `4/00/1987`: zeros stand for what is not known."""
    one, two, three = parts
    year_first = len(one) == 4
    year, rest = (one, (two, three)) if year_first else (three, (one, two))
    known = [int(part) for part in rest if int(part)]
    if len(known) == 2:
        return None
    if int(year) == 0:
        return Moment(doubts=(("DT02", "there is no year in these figures", ()),))
    if year_first and int(two) == 0 and int(three):
        return None
    if not known:
        return Moment(str(full_year(year, context)), doubts=century_doubt(year, context))
    if known[0] > 12:
        return None
    if len(three) == 2 and 0 < int(three) <= 31:
        first = f"2000-{int(two):02}-{int(three):02}"
        return Moment(first[:4], doubts=(("DT16", "zeros for the year, or for what is not known", (first,)),))
    return Moment(str(full_year(year, context)), known[0], doubts=century_doubt(year, context))


def _checked(*orders: Order) -> Moment:
    """The first order where it is possible; otherwise refused, with the others that would be possible."""
    year, month, day = orders[0]
    return Moment(str(year).zfill(4), month, day) if possible(*orders[0]) else _impossible(*orders)


def _impossible(*orders: Order) -> Moment:
    suggestions = tuple(dict.fromkeys(near for order in orders for near in nearest(*order)))
    year, month, day = orders[0]
    return Moment(
        doubts=(("DT02", f"the calendar has no such day: {impossible_words(year, month, day)}", suggestions),)
    )


def impossible_words(year: int, month: int, day: int) -> str:
    """What is wrong with the figures, in words.

    >>> impossible_words(1987, 4, 31)
    '1987-04 has 30 days, not 31'
    """
    if 1 <= month <= 12:
        return f"{year:04}-{month:02} has {days_in(year, month)} days, not {day}"
    return f"there is no month {month}"


def nearest(year: int, month: int, day: int) -> tuple[str, ...]:
    """The possible days that may have been meant.

    >>> nearest(1987, 4, 31)
    ('1987-04-30', '1987-05-01')
    """
    if year >= 1 and 1 <= month <= 12 and days_in(year, month) < day <= 31:
        last = days_in(year, month)
        after = date(year, month, last) + timedelta(days=day - last)
        return f"{year:04}-{month:02}-{last:02}", after.isoformat()
    if possible(year, month, day):
        return (f"{year:04}-{month:02}-{day:02}",)
    return ()


def pair(one: str, two: str, separator: str, context: Context) -> Moment | None:
    """`9/87`, `09/1987`, `1987-09`: a month and a year. None where the figures are rather a span of years."""
    if len(two) == 4:
        return _month_of(int(one), two, context)
    if len(one) == 4:
        return _year_then(one, two, separator, context)
    a, b = int(one), int(two)
    if len(two) == 2 and (b > 31 or b == 0):
        return _month_of(a, two, context)
    if len(one) == 2 and a > 31:
        return _month_of(b, one, context)
    return Moment(doubts=(("DT14", f"{one}{separator}{two} has no year that can be told from a day", ()),))


def _month_of(month: int, year: str, context: Context) -> Moment:
    number = full_year(year, context)
    if not 1 <= month <= 12:
        return Moment(doubts=(("DT02", f"there is no month {month}", (str(number),)),))
    return Moment(str(number).zfill(4), month, doubts=century_doubt(year, context))


def _year_then(year: str, two: str, separator: str, context: Context) -> Moment | None:
    """`1987-09` is a month, `1987-89` a span, `2003-04` and `1992-9` either; a dash is a span."""
    stated = dict(context.options).get("year-month", "")
    number, later = int(two), int(year[: 4 - len(two)] + two) > int(year)
    next_century = len(two) == 2 and int(year[:2] + two) + 100 - int(year) <= 15
    span = f"{year}/{int(year[: 4 - len(two)] + two) + (0 if later else 100)}"
    if number == 0 and (len(two) == 1 or year.endswith("99")):
        return None
    if number == 0:
        return Moment(year, doubts=_month_or_span(year, span) if next_century else ())
    if 21 <= number <= 24 and len(two) == 2 and separator == "-":
        return _season_or_span(year, two, later)
    if number > 12 or (separator == "–" and (later or next_century)):
        return None
    if stated == "span" and later:
        return None
    moment = Moment(year, number)
    if stated == "month":
        return moment
    soon = next_century and int(span[5:]) - int(year) <= MOST_SEASONS
    numbered = len(two) == 1 and separator == "-"  # 1987-1 may count something
    if (later and separator != ".") or (soon and separator == "/") or numbered:
        moment.doubts = _month_or_span(moment.edtf, span)
    return moment


def _month_or_span(month: str, span: str) -> DoubtRows:
    return (("DT16", "a month or a span of years", (month, span)),)


def _season_or_span(year: str, two: str, later: bool) -> Moment:
    """`2001-21` is EDTF for a spring; where it may as well be a span of years, a doubt."""
    moment = Moment(year, int(two))
    if later:
        moment.doubts = (
            ("DT16", f"{year}-{two} is a season or a span of years", (moment.edtf, f"{year}/{year[:2]}{two}")),
        )
    return moment
