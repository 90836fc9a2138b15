"""One row through a plan: the elements it makes, the cells that end elsewhere, and what there is to say about it."""

from __future__ import annotations

from crosswalk.findings import Finding, Origin, finding
from crosswalk.ledger import Account, Entry
from crosswalk.mapping.columns import Bound, Made, Outcome
from crosswalk.mapping.elements import Elements
from crosswalk.mapping.plan import Plan, constant_made
from crosswalk.mapping.store import StoredRow
from crosswalk.records import Evidence
from crosswalk.values.folding import fold
from crosswalk.values.text import repair

# Why a cell cannot be read at all. The finding is made where the trouble is met: by the reader of sheets, or here.
UNREADABLE = {
    "SH13": Entry(Account.REFUSED, "the cell holds an error", "SH13"),
    "SH14": Entry(Account.REFUSED, "a formula without a stored value", "SH14"),
    "MP12": Entry(Account.REFUSED, "a ditto mark below a cell that cannot be read", "MP12"),
    "MP04": Entry(Account.REFUSED, "a ditto mark with nothing above it", "MP04"),
}
SURPLUS = Entry(Account.REFUSED, "the row is longer than the header", "SH05")
TWICE = Entry(Account.REFUSED, "the element holds one value, and another column gave another", "MP05")
ALONE = Entry(Account.REFUSED, "goes with another cell, which says nothing", "MP10")
UNQUOTED = Entry(Account.REFUSED, "only quoted in a constant, which lacks another cell", "MP11")
NO_CELL = -1


class MappedRow:
    """One row on its way: elements of the asset (shared by its rows) and of the carrier, exceptions, findings."""

    def __init__(self, plan: Plan, row: StoredRow, asset: Elements) -> None:
        self.plan, self.row, self.asset = plan, row, asset
        self.carrier = Elements()
        self.tracks: dict[int, Elements] = {}
        self.remarks: list[tuple[Made, Evidence | None]] = []
        self.has_carrier = False
        self.entries: dict[int, Entry] = {index: UNREADABLE[code] for index, code in row.errors.items()}
        self.findings: list[Finding] = []

    def into(self, made: Made) -> Elements:
        """Where an element belongs."""
        if made.target.on_asset:
            return self.asset
        if made.target.level == "track":
            return self.tracks.setdefault(made.track, Elements())
        return self.carrier

    def take(self, made: Made, index: int, evidence: Evidence | None) -> None:
        """Puts an element where it belongs; what has no place beside another value is refused, with a finding."""
        if made.remark:
            self.remarks.append((made, evidence))
            return
        held = self.into(made).add(made, evidence)
        if held and index >= 0:
            self.entries[index] = TWICE
            message = f'"{made.value[:60]}": {made.target.child.element} already holds "{held[:60]}"'
            self.findings.append(finding("MP05", self.place(index), message, value=made.value))

    def ditto(self, made: Made, index: int) -> Evidence:
        """The evidence of an element whose cell repeats the one above."""
        text, above = self.row.dittos[index]
        rule = f"ditto, as in row {above}"
        plan = self.plan
        return Evidence(text, plan.file, plan.sheet, self.row.number, index, made.how, rule, made.public)

    def unsaid(self, made: Made) -> Evidence | None:
        """The evidence of a constant: none is needed, but where it is to stay in the house."""
        if made.public:
            return None
        return Evidence("", self.plan.file, self.plan.sheet, self.row.number, NO_CELL, made.how, made.rule, False)

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
    parts = [bound.outcome(texts).value if _filled(texts, bound.index) else "" for bound in plan.keys]
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


def map_row(mapped: MappedRow) -> None:
    """Maps one row. Nothing in it can stop the run. The loop over its cells is the busiest place of the program."""
    plan, row, entries = mapped.plan, mapped.row, mapped.entries
    texts, number, dittos, file, sheet = row.legible, row.number, row.dittos, plan.file, plan.sheet
    limit, met, held_by = len(texts), mapped.asset.met, (mapped.asset.held, mapped.carrier.held)
    for index, remembered, bound in plan.hot:
        if index >= limit or not (text := texts[index]) or index in entries:
            continue
        outcome = (remembered and remembered(text)) or bound.outcome(texts)
        if not outcome.plain:
            _exception(mapped, bound, outcome)
        for made in outcome.made:
            straight = made.straight
            if straight == 0:
                if made in met:
                    continue
                met.add(made)
            elif not mapped.has_carrier:
                mapped.has_carrier = not made.target.on_asset
            evidence = Evidence(text, file, sheet, number, index, made.how, made.rule, made.public)
            if dittos and index in dittos:
                evidence = mapped.ditto(made, index)
            if straight is not None and made.field not in (held := held_by[straight]):
                held[made.field] = [made, made.make(evidence=evidence)]
            else:
                mapped.take(made, index, evidence)
    _elsewhere(mapped)
    for made in plan.settled:
        mapped.take(made, NO_CELL, mapped.unsaid(made))
    if plan.quoting:
        _quoted(mapped)
    if plan.companions:
        _companions(mapped)
    if row.marks:
        _marked(mapped)


def _elsewhere(mapped: MappedRow) -> None:
    """The cells that end elsewhere whatever they say: columns set aside or not named, and what is beyond the header."""
    plan, entries, texts = mapped.plan, mapped.entries, mapped.row.texts
    limit = len(texts)
    for index, entry in plan.fixed.items():
        if index < limit and texts[index] and index not in entries:
            entries[index] = entry
            if entry.code and index not in plan.unmapped:
                _unmapped(mapped, index)
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


def _unmapped(mapped: MappedRow, index: int) -> None:
    mapped.plan.unmapped.add(index)
    text = mapped.row.texts[index][:60]
    message = f'no entry carries this column; its first text is "{text}"'
    mapped.findings.append(finding("MP01", mapped.place(index), message, value=text))


def _quoted(mapped: MappedRow) -> None:
    plan, row = mapped.plan, mapped.row
    texts, carried = row.legible, set()
    for constant in plan.quoting:
        filled = constant.template.fill(lambda index: plan.value(index, texts))
        if filled is not None:
            text, indices = filled
            carried.update(indices)
            made = constant_made(constant.element, constant.spec, text)
            index = indices[0] if indices else NO_CELL
            said = row.dittos[index][0] if index in row.dittos else texts[index] if indices else ""
            place = Evidence(said, plan.file, plan.sheet, row.number, index, made.how, made.rule, made.public)
            mapped.take(made, index if index in plan.quoted_only else NO_CELL, place)
    for index in plan.quoted_only:
        if index not in carried and index not in mapped.entries and _filled(texts, index):
            message = f'"{texts[index].strip()[:60]}" is only quoted in a constant, which lacks another cell of the row'
            mapped.refuse(index, UNQUOTED, message)


def _companions(mapped: MappedRow) -> None:
    """Cells that only say more about another cell, such as a role, end with it."""
    texts, entries = mapped.row.texts, mapped.entries
    for index, mains in mapped.plan.companions.items():
        if not _filled(texts, index) or index in entries:
            continue
        if not any(_filled(texts, main) and main not in entries for main in mains):
            message = f'"{texts[index].strip()[:60]}" goes with another cell of the row, which says nothing'
            mapped.refuse(index, ALONE, message)


def _marked(mapped: MappedRow) -> None:
    """The elements that fills, strike-outs and notes of the row stand for. Notes carried nowhere are findings."""
    plan, row = mapped.plan, mapped.row
    for rule, only, element in plan.marks:
        for index, fill, struck, note in row.marks:
            if only is not None and index != only:
                continue
            if (rule.fill and fill == rule.fill.upper()) or (rule.struck and struck) or (rule.note and note):
                made = constant_made(element, rule, rule.value or repair(note)[0])
                said = note if rule.note else row.texts[index] if index < len(row.texts) else ""
                where = (plan.file, plan.sheet, row.number, index)
                mapped.take(made, NO_CELL, Evidence(said, *where, made.how, "mark of the sheet", made.public))
                if not rule.note:
                    break
    for index, _, _, note in row.marks:
        if note and not any(rule.note for rule, only, _ in plan.marks if only in (None, index)):
            message = f'the note "{note[:60]}" is carried nowhere'
            mapped.findings.append(finding("MP08", mapped.place(index), message, value=note))
