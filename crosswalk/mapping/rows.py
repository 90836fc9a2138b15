"""One row through a plan: the elements it makes, the cells that end elsewhere, and what there is to say about it."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from crosswalk.findings import Finding, Origin, finding
from crosswalk.ledger import Account, Entry
from crosswalk.mapping.columns import Bound, Made, Outcome
from crosswalk.mapping.plan import Plan, constant_made
from crosswalk.mapping.store import StoredRow
from crosswalk.records import Evidence

# Why a cell cannot be read at all. The finding is made where the trouble is met: by the reader of sheets, or here.
UNREADABLE = {
    "SH13": Entry(Account.REFUSED, "the cell holds an error", "SH13"),
    "SH14": Entry(Account.REFUSED, "a formula without a stored value", "SH14"),
    "MP04": Entry(Account.REFUSED, "a ditto mark with nothing above it", "MP04"),
}
SURPLUS = Entry(Account.REFUSED, "the row is longer than the header", "SH05")
NO_CELL = -1


class MappedRow(msgspec.Struct):
    """What one row comes to: elements with the index of the cell they come from (-1: none), and the exceptions."""

    plan: Plan
    row: StoredRow
    asset: list[tuple[Made, int]]
    carrier: list[tuple[Made, int]]
    entries: dict[int, Entry]
    findings: list[Finding]

    def evidence(self, made: Made, index: int) -> Evidence | None:
        """Where an element comes from; None for a constant."""
        if index < 0:
            return None
        plan, row = self.plan, self.row
        if row.dittos and index in row.dittos:
            text, above = row.dittos[index]
            rule = f"ditto, as in row {above}"
            return Evidence(text, plan.file, plan.sheet, row.number, index, made.how, rule, made.public)
        return Evidence(row.texts[index], plan.file, plan.sheet, row.number, index, made.how, made.rule, made.public)

    def place(self, index: int) -> Origin:
        """The origin of a finding about a cell of the row."""
        return Origin(file=self.plan.file, cell=self.plan.address(self.row.number, index))


def key_of(plan: Plan, row: StoredRow) -> str:
    """The key that brings the rows of one asset together, "" where the row has none. Blank parts count for nothing."""
    parts = [bound.outcome(row.texts).value if _filled(row.texts, bound.index) else "" for bound in plan.keys]
    while parts and not parts[-1]:
        parts.pop()
    return "\x1f".join(parts)


def skipped(plan: Plan, texts: list[str]) -> str:
    """Why the mapping leaves this row out, "" where it does not."""
    for index, wordings, pattern, reason in plan.skips:
        text = texts[index].strip() if index < len(texts) else ""
        if text.casefold() in wordings or (pattern is not None and pattern.search(text)):
            return reason
    return ""


def map_row(plan: Plan, row: StoredRow) -> MappedRow:
    """Maps one row. Nothing in it can stop the run."""
    mapped = MappedRow(plan, row, [], [], {index: UNREADABLE[code] for index, code in row.errors.items()}, [])
    texts, entries, limit = row.texts, mapped.entries, len(row.texts)
    asset, carrier = mapped.asset, mapped.carrier
    for index, remembered, bound in plan.hot:
        if index < limit and texts[index] and index not in entries:
            outcome = (remembered and remembered(texts[index])) or bound.outcome(texts)
            if not outcome.plain:
                _exception(mapped, bound, outcome)
            for made in outcome.made:
                (asset if made.target.on_asset else carrier).append((made, index))
    for index, entry in plan.fixed.items():
        if index < limit and texts[index] and index not in entries:
            entries[index] = entry
            if entry.code and index not in plan.unmapped:
                _unmapped(mapped, index)
    for index in range(plan.width, limit):
        if texts[index]:
            entries[index] = SURPLUS
    for made, index in _constants(plan, row):
        (asset if made.target.on_asset else carrier).append((made, index))
    return mapped


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
    message = f'no entry names this column; its first text is "{text}"'
    mapped.findings.append(finding("MP01", mapped.place(index), message, value=text))


def _constants(plan: Plan, row: StoredRow) -> Iterator[tuple[Made, int]]:
    for made in plan.settled:
        yield made, NO_CELL
    for constant in plan.quoting:
        filled = constant.template.fill(lambda index: plan.value(index, row.texts))
        if filled is not None:
            yield constant_made(plan.mapping, constant.spec, filled[0]), NO_CELL


def marked(mapped: MappedRow) -> Iterator[tuple[Made, Evidence]]:
    """The elements that fills, strike-outs and notes of the row stand for. Notes carried nowhere are findings."""
    plan, row = mapped.plan, mapped.row
    for rule, only in plan.marks:
        for index, fill, struck, note in row.marks:
            if only is not None and index != only:
                continue
            if (rule.fill and fill == rule.fill.upper()) or (rule.struck and struck) or (rule.note and note):
                made = constant_made(plan.mapping, rule, rule.value or note)
                said = note if rule.note else row.texts[index] if index < len(row.texts) else ""
                rule_name = "mark of the sheet"
                yield made, Evidence(said, plan.file, plan.sheet, row.number, index, made.how, rule_name, made.public)
                if not rule.note:
                    break
    for index, _, _, note in row.marks:
        if note and not any(rule.note for rule, only in plan.marks if only in (None, index)):
            message = f'the note "{note[:60]}" is carried nowhere'
            mapped.findings.append(finding("MP08", mapped.place(index), message, value=note))
