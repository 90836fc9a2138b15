"""Token rows to date expressions: moments, and what joins them."""

from __future__ import annotations

from crosswalk.values.dates import words
from crosswalk.values.dates.expressions import Expression, Parsed
from crosswalk.values.dates.lexer import Token
from crosswalk.values.dates.moments import Moment
from crosswalk.values.dates.points import PointReader
from crosswalk.values.reading import Context

_JOINTS = {"-": "range", "–": "range", "/": "slash", ",": "and", ";": "and", "&": "and", "+": "and"}
_BOUNDS = (
    ("before", words.BEFORE),
    ("after", words.AFTER),
    ("latest", words.AT_LATEST),
    ("earliest", words.AT_EARLIEST),
    ("since", words.SINCE),
    ("until", words.UNTIL),
)


FORESIGHT = 4  # words that may stand between "before" and its date


class Grammar:
    """Walks along the tokens once; every step moves forward."""

    def __init__(self, tokens: list[Token], context: Context) -> None:
        self.tokens = tokens
        self.points = PointReader(tokens, context)
        self.found = Parsed([], [], [], [], [], [], [])
        self.left_to = 0

    def parse(self) -> Parsed:
        """All expressions of the text."""
        found = self.found
        at = 0
        while at < len(self.tokens):
            expression, after = self._expression(at)
            if expression is None:
                for passed in range(at, max(after, at + 1)):
                    self._other(passed)
                at = max(after, at + 1)
            else:
                found.expressions.append(expression)
                at = after
        return found

    def _other(self, at: int) -> None:
        found = self.found
        token = self.tokens[at]
        if token.kind not in ("time", "sym", "weekday"):
            self._leave(at)
        if token.text in words.DATE_TYPES:
            found.date_types.append(words.DATE_TYPES[token.text])
        if token.text in ("n", "s") and self._text(at + 1) == "d":  # n.d., s.d.
            found.unsure.append(f"{token.text}.d.")
        elif token.kind == "time":
            found.times.append(token.text)
        elif self._is_stray(at):
            found.strays.append(token.text)
        elif token.kind == "word" and token.text not in words.FILLER:
            (found.unsure if token.text in words.UNSURE else found.others).append(token.text)
        elif token.kind == "count":
            found.others.append("count")
        elif token.kind == "ref":
            found.counted.append(token.text)
        elif token.kind in ("num", "triple", "open", "gap", "iso"):
            found.others.append(token.text)
        elif token.text in "+<>=%#&≤≥":
            found.unsure.append(token.text)

    def _leave(self, at: int) -> None:
        """Puts the token to those that no date took, together with the one before where no more than a mark parts
        them."""
        apart = self.tokens[self.left_to : at] if self.found.left else self.tokens[:1]
        if not self.found.left or any(token.kind != "sym" for token in apart):
            self.found.left.append([])
        self.found.left[-1].append(self.tokens[at].text)
        self.left_to = at + 1

    def _is_stray(self, at: int) -> bool:
        """A figure that opens the text, or stands by a date without a word; or a month that no date took."""
        beside = "" if self._word(at - 1) in words.LINKS else self._word(at - 1)
        alone = self._kind(at) == "num" and (not (beside or self._word(at + 1)) or self._word(at + 1) in words.MONTHS)
        counts = self._text(at)[-1:].isalpha() and bool(self._word(at + 1))  # 2nd annual festival
        opens = at == 0 and self._kind(0) == "num" and not counts
        return ((opens or alone) and len(self.tokens) > 1) or (
            self._word(at) in words.MONTHS and self._word(at) not in words.OFTEN_NO_MONTH
        )

    def _expression(self, at: int) -> tuple[Expression | None, int]:
        made = Expression([], [])
        made.cued = self._word(at - 1) in words.CUES or self._text(at - 1)[-1:] in (",", ";", ":")
        made.vague = self._word(at - 1) in ("to", "through", "thru", "till", "until")
        if at == 0 and self._text(0) in "-–" and self._kind(1) not in ("", "sym") and self.tokens[1].glued:
            made.bound, at = "until", 1
        if self._is_numbered(at):
            return None, at + 1
        at_opening = at
        at, marks = self._opening(at, made)
        made.dated = self._word(at_opening - 1) in words.CUES or self._word(at - 1) in words.CUES
        named = self._word(at - 1) == "the"
        made.cued = made.led = made.cued or made.dated
        moment, at = self.points.first(at)
        if moment is None:
            return None, at
        moment.marks += marks
        moment.weekday = made.weekday if moment.weekday is None else moment.weekday
        at = self._closing(at, moment)
        if named and self._is_adjective(at):
            made.cued = made.led = made.dated = False
        made.moments.append(moment)
        at = self._rest(at, made)
        about = "~" in marks and self._word(at_opening) in words.ABOUT
        made.about_span = about and len(made.moments) == 2 and "~" not in made.moments[1].marks
        self._look_around(made, at_opening, at)
        return made, at

    def _look_around(self, made: Expression, start: int, end: int) -> None:
        """What stands right before and right behind an expression, and says that it is a date, or may be none."""
        opens = start == 0 or bool(self.found.expressions)
        told = self._word(end) in words.DATE_TYPES or self._text(end) in (",", ";")
        made.cued = made.cued or (opens and told) or self._word(end) in words.EXTENT
        made.vague = made.vague or self._word(end) in ("early", "mid", "late", "later")
        made.numbered = self._word(start - 1) in words.NUMBERED and self._kind(start) == "num"
        if self._word(end) and self.tokens[end].glued and self._kind(end - 1) in ("num", "triple"):
            made.loose = self._text(end)  # 1980A
        if self._is_coded(start):
            made.loose = self._text(start - 2)  # U-1987-04

    def _is_numbered(self, at: int) -> bool:
        """`Q3/1985`, `T14`: a figure that touches a word is no date, but for `ca1985` and `rec3/4/85`."""
        if not at or not self.tokens[at].glued or self._kind(at) not in ("num", "triple", "open"):
            return False
        before = self._word(at - 1)
        return bool(before) and before not in words.CUES and before not in words.ABOUT and before not in words.PERHAPS

    def _is_coded(self, at: int) -> bool:
        """Whether a word and a hyphen, all touching, stand before the figure."""
        if at < 2 or self._text(at - 1) not in ("-", "_") or not (self.tokens[at].glued and self.tokens[at - 1].glued):
            return False
        return bool(self._word(at - 2)) and self._word(at - 2) not in words.CUES | words.FILLER | words.ABOUT

    def _is_adjective(self, at: int) -> bool:
        """`the 1983 festival`: a bare year with a word right behind it, which names something."""
        word = self._word(at)
        return self._kind(at - 1) == "num" and bool(word) and word not in words.FILLER and word not in words.CUES

    def _opening(self, at: int, made: Expression) -> tuple[int, str]:
        """Words before a moment: about, perhaps, before, early. Returns where the moment may start, and its marks."""
        marks = ""
        while at < len(self.tokens):
            word, sign = self._word(at), self._text(at)
            if word in words.ABOUT or sign == "~":
                marks += "~"
                made.glued_c = word == "c" and self._kind(at + 1) == "num" and self.tokens[at + 1].glued
            elif word in words.PERHAPS or sign == "?":
                marks += "?"
            elif word in words.BETWEEN:
                made.bound = "between"
            elif (bound := self._bound(at)) and not made.moments:
                made.bound, at = bound
                continue
            elif word in words.VAGUE:
                made.vague = True
            elif word in words.FEASTS:
                made.feast = True
            elif self._kind(at) == "weekday":
                made.weekday = words.WEEKDAYS[word] if made.weekday is None else made.weekday
            elif not (word in words.FILLER or (word == "date" and marks) or self._skipped_sign(at, made, marks)):
                break
            at += 1
        return at, marks

    def _skipped_sign(self, at: int, made: Expression, marks: str) -> bool:
        return self._text(at) in ",-" and (
            made.vague or made.feast or bool(made.bound) or bool(marks) or self._kind(at - 1) == "weekday"
        )

    def _bound(self, at: int) -> tuple[str, int] | None:
        word, following = self._word(at), self._word(at + 1)
        if word in words.NOT and (following in words.BEFORE or following in words.AFTER):
            step = 3 if self._word(at + 2) == "than" else 2
            return ("earliest" if following in words.BEFORE else "latest"), at + step
        if word in ("earlier", "later"):
            return (("before" if word == "earlier" else "after"), at + 2) if following == "than" else None
        for bound, choices in _BOUNDS:
            if word in choices and word not in ("to",) and self._leads_to_moment(at + 1):
                return bound, at + 1
        return None

    def _leads_to_moment(self, at: int) -> bool:
        for _ in range(FORESIGHT):
            word, sign = self._word(at), self._text(at)
            if not (word in words.FILLER or word in words.ABOUT or sign in ("-", "~")):
                break
            at += 1
        return self.points.first(at)[0] is not None

    def _closing(self, at: int, moment: Moment) -> int:
        """Marks after a moment: "?", "ca.", "or so"; and a time of day."""
        while at < len(self.tokens):
            word, sign = self._word(at), self._text(at)
            if sign == "," and (self._word(at + 1) in words.ABOUT or self._word(at + 1) in words.PERHAPS):
                if self._leads_to_moment(at + 2) or self._word(at + 1) in words.UNSURE:
                    break
            elif word == "c" and self.tokens[at].glued:
                break  # 1983c: a code
            elif word in words.ABOUT and self._kind(at + 1) == "time":
                pass  # um 21 Uhr
            elif sign == "?":
                moment.marks += "?"
            elif sign == "~" or ((word in words.ABOUT or word in words.PERHAPS) and not self._leads_to_moment(at + 1)):
                moment.marks += "~" if sign == "~" or word in words.ABOUT else "?"
            elif word == "or" and self._word(at + 1) == "so":
                moment.marks, at = moment.marks + "~", at + 1
            elif self._kind(at) == "time":
                self.found.times.append(self.tokens[at].text)
            elif self._kind(at) == "weekday" and moment.weekday is None:
                moment.weekday = words.WEEKDAYS[word]
            else:
                break
            at += 1
        return at

    def _rest(self, at: int, made: Expression) -> int:
        """Joints and further moments; returns where the expression ends."""
        while at < len(self.tokens):
            joint, start = self._joint(at, made)
            if not joint:
                return at
            if self._ends_open(start, joint, made):
                return start + (self._word(start) in words.NOW)
            after = self._next_moment(start, joint, made)
            if after is None:
                made.loose = self._loose(start, joint)
                made.unknown_end = joint == "range" and self._text(start) == "?"
                made.broken = joint in ("range", "slash") and self._kind(start) == "num" and self.tokens[start].glued
                return at if not made.broken else start + 1
            at = after
        return at

    def _loose(self, at: int, joint: str) -> str:
        """A figure without a word behind it, which stands where a further date would: `1978 or 87`."""
        counted = joint != "or" and self._word(at + 1)
        return self._text(at) if self._kind(at) == "num" and not counted else ""

    def _joint(self, at: int, made: Expression) -> tuple[str, int]:
        word, sign = self._word(at), self._text(at)
        joint = _JOINTS.get(sign, "") if self._kind(at) == "sym" else ""
        if word in words.OR:
            joint = "or"
        elif word in words.AND:
            joint = "and"
        elif word in words.RANGE or word in words.UNTIL:
            joint = "range"
        elif word == "ie":
            joint = "ie"
        at += 1
        if joint == "and" and (self._word(at) in words.AND or self._word(at) in words.OR):
            return self._joint(at, made)
        return joint, at

    def _ends_open(self, at: int, joint: str, made: Expression) -> bool:
        ended = at >= len(self.tokens) and self._kind(at - 1) == "sym"
        if joint == "range" and len(made.moments) == 1 and (ended or self._word(at) in words.NOW):
            made.broken = made.bound not in ("", "since")
            made.bound = "since"
            return True
        if joint == "or" and self._word(at) in ("later", "after", "earlier", "before", "older", "newer"):
            made.bound = "earliest" if self._word(at) in ("later", "after", "newer") else "latest"
            self.tokens[at] = Token("word", "date")
            made.vague = made.vague or self._text(at + 1) == "?"
            return True
        return False

    def _next_moment(self, at: int, joint: str, made: Expression) -> int | None:
        if (made.moments[-1].month or 0) > 20 and joint in ("range", "slash") and self.points.is_short(at):
            made.split_season = True
            return at + 1
        start, marks = self._opening(at, made)
        moment, after, short = self.points.following(start, made.moments[-1], joint)
        if moment is None:
            return None
        if (made.moments[-1].month or 0) > 20 and moment.grain == 1:  # Winter 1961-1962
            made.split_season = True
            return after
        moment.marks += marks
        made.moments.append(moment)
        made.joints.append(joint)
        made.short_end = made.short_end or short
        end = self._closing(after, moment)
        behind = any(self._word(passed) in words.ABOUT for passed in range(after, end))
        made.about_end = behind and joint == "range" and "~" not in marks
        return end

    def _word(self, at: int) -> str:
        return (
            self.tokens[at].text if 0 <= at < len(self.tokens) and self.tokens[at].kind in ("word", "weekday") else ""
        )

    def _text(self, at: int) -> str:
        return self.tokens[at].text if 0 <= at < len(self.tokens) else ""

    def _kind(self, at: int) -> str:
        return self.tokens[at].kind if 0 <= at < len(self.tokens) else ""
