"""One row through a plan: the elements it makes, the cells that end elsewhere, and what there is to say about it."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from crosswalk.findings import Finding, Origin, finding
from crosswalk.ledger import Account, Entry
from crosswalk.mapping.columns import Bound, Outcome
from crosswalk.mapping.elements import Elements, with_evidence
from crosswalk.mapping.made import ASSET, NO_CELL, Filled, Made, fill
from crosswalk.mapping.plan import Hot, Plan, Quoting, constant_made
from crosswalk.mapping.store import StoredRow
from crosswalk.records import Evidence
from crosswalk.values.folding import fold
from crosswalk.values.reading import How
from crosswalk.values.text import repair

# Why a cell cannot be read at all. The finding is made where the trouble is met: by the reader of sheets, or here.
UNREADABLE = {
    "SH13": Entry(Account.REFUSED, "the cell holds an error", "SH13"),
    "SH14": Entry(Account.REFUSED, "a formula without a stored value", "SH14"),
    "SH28": Entry(Account.REFUSED, "hidden below a merged cell", "SH28"),
    "SH29": Entry(Account.REFUSED, "struck out in part", "SH29"),
    "MP12": Entry(Account.REFUSED, "a ditto mark below a cell that cannot be read", "MP12"),
    "MP04": Entry(Account.REFUSED, "a ditto mark with nothing above it", "MP04"),
}
SURPLUS = Entry(Account.REFUSED, "the row is longer than the header", "SH05")
TWICE = Entry(Account.REFUSED, "the element holds one value, and another column gave another", "MP05")
ALONE = Entry(Account.REFUSED, "goes with another cell, which says nothing", "MP10")
UNQUOTED = Entry(Account.REFUSED, "only quoted in a constant, which lacks another cell", "MP11")
NO_PART = -1
NO_FIELDS: dict[str, Filled] = {}


class MappedRow:
    """One row on its way: elements by the part they belong to (the asset's are shared by its rows), exceptions,
    findings. `aside` is the row's number where it is not the one that the record itself is of."""

    __slots__ = ("aside", "entries", "findings", "has_carrier", "parts", "plan", "remarks", "row")

    def __init__(self, plan: Plan, row: StoredRow, asset: Elements, is_first: bool = True) -> None:
        self.plan, self.row = plan, row
        self.aside = 0 if is_first else row.number
        self.parts: dict[int, Elements] = {ASSET: asset}
        self.remarks: list[tuple[Made, Evidence]] = []
        self.has_carrier = False
        errors = row.errors
        self.entries: dict[int, Entry] = {index: UNREADABLE[errors[index]] for index in errors} if errors else {}
        self.findings: list[Finding] = []

    def part(self, number: int) -> Elements:
        """The elements of a part: ASSET, CARRIER, or CARRIER + the number of a track."""
        found = self.parts.get(number)
        if found is None:
            found = self.parts[number] = Elements()
        return found

    def take(self, filled: Filled, index: int) -> None:
        """Puts elements where they belong; what has no place beside another value is refused, with a finding."""
        part = self.part(filled.part)
        if filled.made[0].element.spare:
            part.spare.append(filled)
            return
        without_place = part.add(filled, self.aside if filled.part == ASSET else 0)
        for made in without_place if index >= 0 else ():
            self.twice(made, index, part.fields[filled.field].made[0].value)

    def twice(self, made: Made, index: int, held: str) -> None:
        """Refuses a cell whose element holds another value already, and says so."""
        self.entries[index] = TWICE
        message = f'"{made.value[:60]}": {made.element.target.child.element} already holds "{held[:60]}"'
        self.findings.append(finding("MP05", self.place(index), message, value=made.value))

    def evidence(self, made: Made, index: int, text: str) -> Evidence:
        """The evidence of an element of this row."""
        plan = self.plan
        return Evidence(text, plan.file, plan.sheet, self.row.number, index, made.how, made.rule, made.element.public)

    def of_cell(self, made: Made, index: int) -> Evidence:
        """The evidence of an element that a cell fills, which may repeat the one above."""
        if index not in self.row.dittos:
            return self.evidence(made, index, self.row.texts[index])
        text, above = self.row.dittos[index]
        said = self.evidence(made, index, text)
        return msgspec.structs.replace(said, rule=f"ditto, as in row {above}")

    def refuse(self, index: int, entry: Entry, message: str) -> None:
        """Accounts for a cell as refused, and says so."""
        self.entries[index] = entry
        self.findings.append(finding(entry.code, self.place(index), message, value=self.row.texts[index].strip()))

    def place(self, index: int) -> Origin:
        """The origin of a finding about a cell of the row."""
        return Origin(file=self.plan.file, cell=self.plan.address(self.row.number, index))


def key_of(plan: Plan, row: StoredRow) -> str:
    """The key that brings the rows of one asset together, "" where the row has none. Blank parts count for nothing."""
    texts = row.legible
    parts = [part(texts) for part in plan.key_parts]
    while parts and not parts[-1]:
        parts.pop()
    return "\x1f".join(parts)


def skipped(plan: Plan, texts: list[str]) -> str:
    """Why the mapping leaves this row out, "" where it does not."""
    for index, wordings, pattern, reason in plan.skips:
        text = texts[index].strip() if index < len(texts) else ""
        if fold(text) in wordings or (pattern is not None and pattern.search(text)):
            return reason
    return ""


def unnamed(plan: Plan, row: StoredRow) -> Iterator[Finding]:
    """A finding for each column that no entry names, where the row is the first to fill it."""
    for index in sorted(plan.unnamed):
        if _filled(row.texts, index) and index not in row.errors:
            plan.unnamed.remove(index)
            text = row.texts[index][:60]
            place = Origin(file=plan.file, cell=plan.address(row.number, index))
            yield finding("MP01", place, f'no entry carries this column; its first text is "{text}"', value=text)


def map_row(mapped: MappedRow) -> None:
    """Maps one row. Nothing in it can stop the run."""
    plan, row = mapped.plan, mapped.row
    _cells(mapped)
    mapped.has_carrier = len(mapped.parts) > 1 or bool(mapped.remarks) or _tells_of_a_carrier(mapped)
    _elsewhere(mapped)
    for settled in plan.settled:
        mapped.take(settled, NO_CELL)
    if plan.quoting:
        _quoted(mapped)
    if plan.companions:
        _companions(mapped)
    if row.marks:
        _marked(mapped)


def _cells(mapped: MappedRow) -> None:
    """The cells that are read. Where the cells of the asset's columns say what they said in the row before, and there
    was nothing to remark, they need not be read again."""
    plan, texts, asset = mapped.plan, mapped.row.legible, mapped.parts[ASSET]
    if len(texts) < plan.reach:
        texts = texts + [""] * (plan.reach - len(texts))
    said = (plan, plan.shared(texts)) if plan.shared is not None else ()
    if said and asset.read and plan is asset.read[0] and said[1] == asset.read[1]:
        _read(mapped, texts, plan.hot_again)
    elif _read(mapped, texts, plan.hot):
        asset.read = said


def _read(mapped: MappedRow, texts: list[str], columns: Hot) -> bool:
    """Reads some columns of a row; whether all went without a remark. This is the busiest place of the program."""
    entries, dittos = mapped.entries, mapped.row.dittos
    current, fields, plain = NO_PART, NO_FIELDS, True
    aside = ASSET if mapped.aside else NO_PART
    for index, remembered, bound in columns:
        text = texts[index]
        if not text or (entries and index in entries):
            continue
        outcome = remembered(text) or bound.outcome(texts)
        if not outcome.plain:
            plain = False
            outcome = bound.outcome(texts)  # the row's carrier may settle it
            _exception(mapped, bound, outcome)
        for made in outcome.remarks:
            mapped.remarks.append((made, mapped.of_cell(made, index)))
        filled = outcome.filled
        if filled is None:
            continue
        if dittos and index in dittos:
            filled = with_evidence(filled, mapped.of_cell(filled.made[0], index))
        if filled.part != current:
            current, fields = filled.part, mapped.part(filled.part).fields
        if filled.field in fields or current == aside:
            mapped.take(filled, index)
        else:
            fields[filled.field] = filled
    return plain and not entries


def _tells_of_a_carrier(mapped: MappedRow) -> bool:
    """Whether a cell that was refused tells of a carrier: there is one then, although it is not known which."""
    refused = (index for index, entry in mapped.entries.items() if entry.account is Account.REFUSED)
    bound = (mapped.plan.by_index.get(index) for index in refused)
    return any(one is not None and one.target is not None and not one.target.on_asset for one in bound)


def _elsewhere(mapped: MappedRow) -> None:
    """The cells that end elsewhere whatever they say: columns set aside or not named, and what is beyond the header."""
    plan, entries, texts = mapped.plan, mapped.entries, mapped.row.texts
    limit = len(texts)
    for index, entry in plan.fixed.items():
        if index < limit and texts[index] and index not in entries:
            entries[index] = entry
    for index in range(plan.width, limit):
        if texts[index]:
            entries[index] = SURPLUS


def _filled(texts: list[str], index: int) -> bool:
    return index < len(texts) and bool(texts[index])


def _exception(mapped: MappedRow, bound: Bound, outcome: Outcome) -> None:
    if outcome.entry is not None:
        mapped.entries[bound.index] = outcome.entry
    text = mapped.row.texts[bound.index].strip()
    for doubt in outcome.doubts:
        message = doubt.message if text[:60] in doubt.message else f'"{text[:60]}": {doubt.message}'
        place = mapped.place(bound.index)
        mapped.findings.append(finding(doubt.code, place, message, value=text, suggestions=doubt.suggestions))


def _quoted(mapped: MappedRow) -> None:
    plan, row = mapped.plan, mapped.row
    texts, carried = row.legible, set()
    refused = {index for index, entry in mapped.entries.items() if entry.account is Account.REFUSED}
    for constant in plan.quoting:
        found = constant.template.fill(lambda index: "" if index in refused else plan.value(index, texts))
        if refused:
            _left_out(mapped, constant, refused, found is None)
        if found is not None:
            text, indices = found
            carried.update(indices)
            index = indices[0] if indices else NO_CELL
            said = row.dittos[index][0] if index in row.dittos else texts[index] if indices else ""
            made = constant_made(constant.element, text)
            mapped.take(fill(made, mapped.evidence(made, index, said)), index if index in plan.quoted_only else NO_CELL)
    for index in plan.quoted_only:
        if index not in carried and index not in mapped.entries and _filled(texts, index):
            message = f'"{texts[index].strip()[:60]}" is only quoted in a constant, which lacks another cell of the row'
            mapped.refuse(index, UNQUOTED, message)


def _left_out(mapped: MappedRow, constant: Quoting, refused: set[int], whole: bool) -> None:
    """What was refused is not delivered in a constant either, as though it had been read."""
    for index in dict.fromkeys(constant.indices):
        if index in refused:
            made = "is not made" if whole else "is made without it"
            text, to = mapped.row.texts[index].strip(), constant.element.target.path
            message = f'"{text[:60]}" was refused; the constant for {to} that quotes it {made}'
            mapped.findings.append(finding("MP16", mapped.place(index), message, value=text))


def _companions(mapped: MappedRow) -> None:
    """Cells that only say more about another cell, such as a role, end with it."""
    texts, entries = mapped.row.texts, mapped.entries
    limit = len(texts)
    for index, mains in mapped.plan.companions.items():
        if index >= limit or not texts[index] or index in entries:
            continue
        for main in mains:
            if main < limit and texts[main] and main not in entries:
                break
        else:
            message = f'"{texts[index].strip()[:60]}" goes with another cell of the row, which says nothing'
            mapped.refuse(index, ALONE, message)


def _marked(mapped: MappedRow) -> None:
    """The elements that fills, strike-outs and notes of the row stand for. Notes carried nowhere are findings."""
    plan, row = mapped.plan, mapped.row
    for rule, only, element in plan.marks:
        for index, colour, struck, note in row.marks:
            if only is not None and index != only:
                continue
            if (rule.fill and colour == rule.fill.upper()) or (rule.struck and struck) or (rule.note and note):
                made = element.made(rule.value or repair(note)[0], How.EXACT.value, "mark of the sheet")
                said = note if rule.note else row.texts[index] if index < len(row.texts) else ""
                evidence = mapped.evidence(made, index, said)
                if rule.note and (index in plan.private or index in plan.fixed):  # no more public than its column
                    evidence = msgspec.structs.replace(evidence, public=False)
                mapped.take(fill(made, evidence), NO_CELL)
                if not rule.note:
                    break
    for index, _, _, note in row.marks:
        if note and not any(rule.note for rule, only, _ in plan.marks if only in (None, index)):
            message = f'the note "{note[:60]}" is carried nowhere'
            mapped.findings.append(finding("MP08", mapped.place(index), message, value=note))
