"""One row through a plan: the elements it makes, the cells that end elsewhere, and what there is to say about it."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from crosswalk.findings import Finding, Origin, finding
from crosswalk.ledger import Account, Entry
from crosswalk.mapping.columns import Bound, Made, Outcome
from crosswalk.mapping.plan import Piece, Plan, constant_made
from crosswalk.mapping.store import StoredRow
from crosswalk.records import Evidence

# Why a cell cannot be read at all. The finding is made where the trouble is met: by the reader of sheets, or here.
UNREADABLE = {
    "SH13": Entry(Account.REFUSED, "the cell holds an error", "SH13"),
    "SH14": Entry(Account.REFUSED, "a formula without a stored value", "SH14"),
    "MP04": Entry(Account.REFUSED, "a ditto mark with nothing above it", "MP04"),
}
SURPLUS = Entry(Account.REFUSED, "the row is longer than the header", "SH05")


class MappedRow(msgspec.Struct):
    """What one row comes to."""

    pieces: list[Piece]
    entries: dict[int, Entry]
    findings: list[Finding]


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
    pieces: list[Piece] = []
    entries = {index: UNREADABLE[code] for index, code in row.errors.items()}
    findings: list[Finding] = []
    texts, limit = row.texts, len(row.texts)
    for bound in plan.bound:
        index = bound.index
        if index < limit and texts[index] and index not in entries:
            outcome = bound.outcome(texts)
            if outcome.entry is not None:
                entries[index] = outcome.entry
            if outcome.doubts:
                findings.extend(_doubts(plan, row, bound, outcome))
            pieces.extend([Piece(made, _evidence(plan, row, made, index), index) for made in outcome.made])
    for index, entry in plan.fixed.items():
        if index < limit and texts[index] and index not in entries:
            entries[index] = entry
            if entry.code and index not in plan.unmapped:
                plan.unmapped.add(index)
                findings.append(_unmapped(plan, row, index))
    entries |= {index: SURPLUS for index in range(plan.width, limit) if texts[index]}
    pieces.extend(_constants(plan, row))
    if row.marks:
        pieces.extend(_marked(plan, row, findings))
    return MappedRow(pieces, entries, findings)


def _filled(texts: list[str], index: int) -> bool:
    return index < len(texts) and bool(texts[index])


def _evidence(plan: Plan, row: StoredRow, made: Made, index: int) -> Evidence:
    if row.dittos and index in row.dittos:
        text, above = row.dittos[index]
        return Evidence(text, plan.file, plan.sheet, row.number, index, made.how, f"ditto, as in row {above}")
    return Evidence(row.texts[index], plan.file, plan.sheet, row.number, index, made.how, made.rule, made.public)


def _place(plan: Plan, row: StoredRow, index: int) -> Origin:
    return Origin(file=plan.file, cell=plan.address(row.number, index))


def _doubts(plan: Plan, row: StoredRow, bound: Bound, outcome: Outcome) -> Iterator[Finding]:
    text = row.texts[bound.index].strip()
    for doubt in outcome.doubts:
        message = doubt.message if text[:60] in doubt.message else f'"{text[:60]}": {doubt.message}'
        place = _place(plan, row, bound.index)
        yield finding(doubt.code, place, message, value=text, suggestions=doubt.suggestions)


def _unmapped(plan: Plan, row: StoredRow, index: int) -> Finding:
    text = row.texts[index][:60]
    message = f'no entry names this column; its first text is "{text}"'
    return finding("MP01", _place(plan, row, index), message, value=text)


def _constants(plan: Plan, row: StoredRow) -> Iterator[Piece]:
    yield from plan.settled
    for constant in plan.quoting:
        filled = constant.template.fill(lambda index: plan.value(index, row.texts))
        if filled is not None:
            text, index = filled
            made = constant_made(plan.mapping, constant.spec, text)
            yield Piece(made, _evidence(plan, row, made, index), -1)


def _marked(plan: Plan, row: StoredRow, findings: list[Finding]) -> Iterator[Piece]:
    for rule, only in plan.marks:
        for index, fill, struck, note in row.marks:
            if only is not None and index != only:
                continue
            if (rule.fill and fill == rule.fill.upper()) or (rule.struck and struck) or (rule.note and note):
                text = rule.value or note
                made = constant_made(plan.mapping, rule, text)
                evidence = Evidence(text, plan.file, plan.sheet, row.number, index, made.how, "mark of the sheet")
                yield Piece(made, evidence, -1)
                if not rule.note:
                    break
    for index, _, _, note in row.marks:
        if note and not any(rule.note for rule, only in plan.marks if only in (None, index)):
            place = _place(plan, row, index)
            findings.append(finding("MP08", place, f'the note "{note[:60]}" is carried nowhere', value=note))
