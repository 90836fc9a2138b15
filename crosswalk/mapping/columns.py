"""One column of a mapping, bound to a column of a sheet: cell text -> outcome, remembered for each distinct wording."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

import msgspec

from crosswalk.ledger import Account, Entry
from crosswalk.mapping.made import ElementOf, Filled, Made, companions, element_of, fill, fill_all, remark
from crosswalk.mapping.model import Column
from crosswalk.mapping.targets import Target
from crosswalk.records import Evidence
from crosswalk.values.folding import fold
from crosswalk.values.reading import Doubt, How, Reading
from crosswalk.values.text import repair
from crosswalk.vocabularies import names_published

REMEMBERED = 4_000  # distinct wordings a column keeps; beyond that it forgets all and starts again

WITH_ALSO = ("carrier", "generation")  # parsers whose side remarks belong in the record
UNSURE = "as written; not read with certainty"
FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")  # XML 1.0, production 2 (Char)
NOTHING_BESIDE: dict[str, str] = {}
EXACT = How.EXACT.value
WRITTEN = {how: how.value for how in How}  # looked up: asking the member itself takes five times as long
# Facts of the term and parts of the value itself, not further words of the cell.
UNCARRIED_ALSO = ("rda-carrier", "rda-media", "domain", "kind", "season", "episode")


class Outcome(msgspec.Struct, gc=False):
    """What one wording in one column comes to. No entry: it is carried. `plain`: there is nothing to say about it."""

    made: tuple[Made, ...] = ()
    entry: Entry | None = None
    doubts: tuple[Doubt, ...] = ()
    plain: bool = True
    value: str = ""  # the normalised value, for keys and for constants that quote the column
    filled: Filled | None = None  # what its own elements come to in the record
    remarks: tuple[Made, ...] = ()  # the elements of what it says beside its value


class Bound(msgspec.Struct):
    """A mapping's column bound to a sheet's column. `beside`: the columns that fill attributes of the same element."""

    index: int
    column: Column
    target: Target | None
    read: Callable[[str], Reading]
    blank: frozenset[str]
    beside: dict[str, int] = {}
    read_beside: dict[int, Bound] = {}  # those of them that an entry of the mapping reads
    own: Mapping[str, str] = {}  # terms of the house that its parser may give, with the house's list
    table: Mapping[str, str] | None = None  # the look-up table, folded code -> what it stands for
    carrier: Bound | None = None  # the row's carrier, which may settle a doubtful date or length
    read_for: Callable[[str, str], Reading] | None = None  # reads a text knowing the carrier
    sound: Callable[[str], bool] | None = None  # tells of a text that it is certainly read as just itself
    file: str = ""
    sheet: str = ""
    memo: dict[str | tuple[str, ...], Outcome] = {}
    common: ElementOf | None = None

    @property
    def of_asset(self) -> bool:
        """Whether it tells of the asset, and the cells of the column and of those beside it decide what it says, but
        for doubtful ones."""
        settled = all(beside.carrier is None for beside in self.read_beside.values())
        return settled and self.target is not None and self.target.on_asset

    @property
    def element(self) -> ElementOf:
        """What all values of the column have in common, where no other column fills attributes."""
        if self.common is None:
            assert self.target is not None
            self.common = element_of(self.target, companions(self.column, {}), self.column)
        return self.common

    def contents(self, value: str) -> Column:
        """What goes beside a value. A term of the house names the list of the house: the published one, which the
        mapping may name, does not have it."""
        own = next((self.own[name] for name in (value, value.partition(": ")[0]) if name in self.own), None)
        stated = self.column.source
        if own is None or (stated and not names_published(stated)):
            return self.column
        return msgspec.structs.replace(self.column, source=own, ref=None, version=None)

    def outcome(self, texts: list[str]) -> Outcome:
        """What the cell of this column in a row of texts comes to. The cell is not empty."""
        text = texts[self.index]
        beside = self.beside
        key = (text, *[_at(texts, i) for i in beside.values()]) if beside else text
        known = self.memo.get(key)
        if known is None:
            known = self._remember(key, text, self._companions(texts) if beside else NOTHING_BESIDE, self.read)
        if known.doubts and self.carrier is not None and _at(texts, self.carrier.index):
            return self._with_carrier(text, texts)
        return known

    def value(self, texts: list[str]) -> str:
        """The normalised value of the cell of this column in a row of texts. The cell is not empty."""
        text = texts[self.index]
        if self.sound is not None and not (self.beside or self.blank or self.table or self.column.split):
            return text if self.sound(text) else self.outcome(texts).value
        return self.outcome(texts).value

    def _with_carrier(self, text: str, texts: list[str]) -> Outcome:
        assert self.carrier is not None and self.read_for is not None
        term, read_for = self.carrier.outcome(texts).value, self.read_for
        key = (text, *(_at(texts, i) for i in self.beside.values()), "", term)
        known = self.memo.get(key)
        if known is None:
            known = self._remember(key, text, self._companions(texts), lambda piece: read_for(piece, term))
        return known

    def _remember(
        self, key: str | tuple[str, ...], text: str, beside: dict[str, str], read: Callable[[str], Reading]
    ) -> Outcome:
        if len(self.memo) >= REMEMBERED:
            self.memo.clear()
        sound = self._sound(text) if self.sound is not None and not beside and self.sound(text) else None
        known = self.memo[key] = sound or self._with_elements(text, self._read(text, beside, read))
        return known

    def _sound(self, text: str) -> Outcome | None:
        """The outcome of a text that is certainly read as just itself, as `_read` would give it. Most different texts
        of a sheet are such, and each takes its time."""
        if self.table is not None or self.target is None or (self.blank and fold(text) in self.blank):
            return None
        element = self.common or self.element
        pieces = self._pieces(text) if self.column.split else (text,)
        if len(pieces) > 1 and not element.many:
            return None
        made = tuple([Made(element, piece, EXACT, "") for piece in pieces])
        evidence = Evidence(text, self.file, self.sheet, 0, self.index, EXACT, "", element.public)
        return Outcome(made, None, (), True, pieces[0], fill_all(made, lambda _: evidence))

    def _with_elements(self, text: str, outcome: Outcome) -> Outcome:
        """The outcome with its elements made. Their evidence names no row: it is that of the record or carrier."""
        made = outcome.made
        if not made:
            return outcome
        if len(made) == 1:
            outcome.filled = fill(made[0], self._evidence(text, made[0]))
        else:
            own = [one for one in made if not one.element.remark]
            outcome.remarks = tuple(one for one in made if one.element.remark)
            outcome.filled = fill_all(own, lambda one: self._evidence(text, one))
        return outcome

    def _evidence(self, text: str, made: Made) -> Evidence:
        return Evidence(text, self.file, self.sheet, 0, self.index, made.how, made.rule, made.element.public)

    def _companions(self, texts: list[str]) -> dict[str, str]:
        return {name: self._companion(texts, i) for name, i in self.beside.items()}

    def _companion(self, texts: list[str], index: int) -> str:
        bound, text = self.read_beside.get(index), _at(texts, index).strip()
        if bound is None or not text:
            return text
        outcome = bound.outcome(texts)
        return "" if outcome.entry is not None else outcome.value

    def _read(self, text: str, beside: dict[str, str], read: Callable[[str], Reading]) -> Outcome:
        stripped = text.strip()
        if not stripped:
            return Outcome(entry=Entry(Account.SET_ASIDE, "only white space"), plain=False)
        if self.blank and fold(stripped) in self.blank:
            return Outcome(entry=Entry(Account.SET_ASIDE, "means: nothing was written"), plain=False)
        if not stripped.isprintable() and FORBIDDEN.search(stripped):
            return self._without_forbidden(stripped, beside, read)
        if not self.column.split:
            return self._piece(stripped, beside, read)
        return self._together([self._piece(piece, beside, read) for piece in self._pieces(stripped)])

    def _together(self, found: list[Outcome]) -> Outcome:
        """What the pieces of a cell come to. Of several values for an element that stands once none is taken: which is
        meant is for a person to say. Where one piece cannot be read, the others go on, and the account says so."""
        made = tuple(one for outcome in found for one in outcome.made)
        doubts = tuple(doubt for outcome in found for doubt in outcome.doubts)
        values = list(dict.fromkeys(one.value for one in made if not one.element.remark))
        if len(values) > 1 and self.target is not None and not self.target.child.many:
            code = "CA03" if self.column.read == "carrier" else "MP05"
            doubt = Doubt(code, f"{self.target.child.element} holds one value, and the cell gives {_quoted(values)}")
            entry = Entry(Account.REFUSED, "several values for one element", code)
            return Outcome((), entry, (*doubts, doubt), False, found[0].value)
        refused = next((outcome.entry for outcome in found if outcome.entry), None)
        if refused is not None and made:
            refused = msgspec.structs.replace(refused, why=f"{refused.why}, in part: {_quoted(values)} is carried")
        return Outcome(made, refused, doubts, not (refused or doubts), found[0].value if found else "")

    def _without_forbidden(self, text: str, beside: dict[str, str], read: Callable[[str], Reading]) -> Outcome:
        left = repair(text)[0]
        outcome = self._read(left, beside, read)
        doubt = Doubt("TX02", f'characters that XML forbids were removed; "{left[:60]}" is left')
        return msgspec.structs.replace(outcome, doubts=(*outcome.doubts, doubt), plain=False)

    def _pieces(self, text: str) -> list[str]:
        pieces = [text]
        for separator in self.column.separators:
            pieces = [part.strip() for piece in pieces for part in piece.split(separator)]
        return [piece for piece in pieces if piece] or [text]

    def _piece(self, text: str, beside: dict[str, str], read: Callable[[str], Reading]) -> Outcome:
        if self.table is not None:
            looked_up = self.table.get(fold(text))
            if looked_up is None:
                doubt = Doubt("MP06", f'"{text}" is not in the look-up sheet')
                return Outcome((), Entry(Account.REFUSED, "not in the look-up sheet", "MP06"), (doubt,), False)
            text = looked_up
        reading = read(text)
        value = reading.value
        if value is not None and not reading.doubts:
            mended = _mended(reading) if reading.rule else ()
            return Outcome(self._made(reading, value, beside), None, mended, not mended, value)
        if not self.column.sure and self.target is not None:
            unsure = {"annotation": self.column.annotation or UNSURE} | beside
            return Outcome(self._made(reading, text, unsure), None, reading.doubts, False, text)
        if reading.how is How.DECISION:
            return Outcome((), Entry(Account.SET_ASIDE, f"decided to mean nothing, {reading.rule}"), (), False, "")
        code = reading.doubts[0].code if reading.doubts else "MP07"
        return Outcome((), Entry(Account.REFUSED, "could not be read", code), reading.doubts, False, text)

    def _made(self, reading: Reading, value: str, beside: dict[str, str]) -> tuple[Made, ...]:
        if self.target is None:
            return ()
        told = self._told(reading) if reading.also else {}
        column = self.contents(value)
        if beside or told or column is not self.column:
            element = element_of(self.target, companions(column, told | beside), column)
        else:
            element = self.common or self.element
        own = Made(element, value, WRITTEN[reading.how], reading.rule)
        return (own, *self._also(reading)) if reading.also else (own,)

    def _told(self, reading: Reading) -> dict[str, str]:
        """What a wording says beside its value goes into the element itself, where it gets no element of its own: a
        person's role as the role, all else as the annotation."""
        if self._has_remarks:
            return {}
        told = [(kind, value) for kind, value in reading.also if kind not in UNCARRIED_ALSO]
        roles = [value for kind, value in told if kind == "role"]
        takes_role = self.target is not None and self.target.takes_role and not self.column.role and not self.beside
        said = {"role": roles[0]} if roles and takes_role else {}
        rest = [f"{kind}: {value}" for kind, value in told if not (kind == "role" and value == said.get("role"))]
        if rest:
            said["annotation"] = "; ".join([self.column.annotation, *rest] if self.column.annotation else rest)
        return said

    @property
    def _has_remarks(self) -> bool:
        return self.column.read in WITH_ALSO and self.target is not None and self.target.level == "instantiation"

    def _also(self, reading: Reading) -> tuple[Made, ...]:
        if not self._has_remarks:
            return ()
        return tuple(
            remark(kind, value, reading.rule, self.column) for kind, value in reading.also if kind not in UNCARRIED_ALSO
        )


def _mended(reading: Reading) -> tuple[Doubt, ...]:
    """What a person should hear of a repair that put other characters in the place of what was written."""
    if "mojibake" not in reading.rule:
        return ()
    return (Doubt("TX03", f'text in a broken encoding was mended; now: "{reading.value}"'),)


def _quoted(values: list[str]) -> str:
    return " and ".join(f'"{value[:60]}"' for value in values)


def _at(texts: list[str], index: int) -> str:
    return texts[index] if index < len(texts) else ""
