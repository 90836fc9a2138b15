"""Dates in order, and durations of parts against the whole."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from crosswalk.checks.place import Place, below
from crosswalk.checks.rules.facts import day_bounds, length_ms, plain_key
from crosswalk.findings import Finding, finding
from crosswalk.records import Asset, DateText, Instantiation

# What must have happened before what, by date type: common practice, no source.
STAGES = {"captured": 0, "created": 1, "issued": 2, "published": 2, "broadcast": 2, "distributed": 2}
LATER = {"digitized": 3, "migrated": 3, "deletion": 4}
TOLERANCE_MS = 60_000  # leader, bars and black are counted in one house and not in the other


def asset_dates(node: Asset, path: str, place: Place) -> Iterable[Finding]:
    """RC31: something was broadcast or published before it was made.

    >>> dates = (DateText("1987-04-03", date_type="created"), DateText("1986", date_type="broadcast"))
    >>> [f.code for f in asset_dates(Asset(dates=dates), "", Place())]
    ['RC31']
    """
    return _in_order(node.dates, below(path, "pbcoreAssetDate"), place, STAGES) if len(node.dates) > 1 else ()


def carrier_dates(node: Instantiation, path: str, place: Place) -> Iterable[Finding]:
    """RC31: a carrier was digitised or destroyed before it was made."""
    stages = STAGES | LATER if len(node.dates) > 1 else {}
    return _in_order(node.dates, below(path, "instantiationDate"), place, stages) if stages else ()


def _in_order(dates: tuple[DateText, ...], path: str, place: Place, stages: dict[str, int]) -> Iterator[Finding]:
    latest_start: tuple[date, int, DateText] | None = None
    staged = [(stages[plain_key(d.date_type or "")], n, d) for n, d in enumerate(dates, 1) if _kind(d) in stages]
    for stage, number, stated in sorted(staged, key=lambda item: item[:2]):
        first, last = day_bounds(stated.text)
        if last and latest_start and latest_start[1] < stage and last < latest_start[0]:
            earlier = latest_start[2]
            message = f"{stated.date_type} {stated.text} lies before {earlier.date_type} {earlier.text}"
            yield finding("RC31", place.at(f"{path}[{number}]", stated), message, value=stated.text)
        elif first and (latest_start is None or first > latest_start[0]):
            latest_start = (first, stage, stated)


def _kind(stated: DateText) -> str:
    return plain_key(stated.date_type or "")


def parts_fit(node: Instantiation, path: str, place: Place) -> Iterable[Finding]:
    """RC33: the parts of an instantiation are longer together than the whole; a minute is allowed."""
    if not node.parts or node.duration is None:
        return ()
    whole = length_ms(node.duration.text)
    lengths = [length_ms(part.duration.text) for part in node.parts if part.duration]
    total = sum(length for length in lengths if length is not None)
    if whole is None or total <= whole + TOLERANCE_MS:
        return ()
    origin = place.at(below(path, "instantiationDuration"), node.duration)
    message = f"the parts last {clock(total)} together, the whole {node.duration.text}"
    return (finding("RC33", origin, message, value=node.duration.text),)


def parts_inside(node: Asset, path: str, place: Place) -> Iterable[Finding]:
    """RC33: a part ends after the longest carrier of the whole does. RC34: a part ends before it starts."""
    if not node.parts:
        return ()
    return _parts(node, path, place)


def _parts(node: Asset, path: str, place: Place) -> Iterator[Finding]:
    lengths = [length_ms(item.duration.text) for item in node.instantiations if item.duration]
    whole = max((length for length in lengths if length), default=None)
    for number, part in enumerate(node.parts, 1):
        start, end = length_ms(part.start_time or ""), length_ms(part.end_time or "")
        origin = place.at(below(path, f"pbcorePart[{number}]"))
        if start is not None and end is not None and end < start:
            yield finding("RC34", origin, f"the part ends at {part.end_time}, before it starts at {part.start_time}")
        elif end is not None and start is not None and whole is not None and end - start > whole + TOLERANCE_MS:
            yield finding("RC33", origin, f"the part lasts {clock(end - start)}, the longest carrier {clock(whole)}")


def clock(length: int) -> str:
    """A length in milliseconds as hours, minutes and seconds.

    >>> clock(5_400_000)
    '01:30:00'
    """
    minutes, seconds = divmod(length // 1000, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02}:{minutes:02}:{seconds:02}"


ASSET = (asset_dates, parts_inside)
INSTANTIATION = (carrier_dates, parts_fit)
