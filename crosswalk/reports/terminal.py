"""The report for people at a terminal: what was read, what was found, where every cell ended. Plain text in a pipe."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TypeAlias

from crosswalk.findings import Finding, Origin, codes
from crosswalk.reports.model import Report, plural

Span: TypeAlias = tuple[str, str]  # text, style
Line: TypeAlias = list[Span]

STYLES = {"error": "bold red", "warning": "yellow", "note": "cyan", "quiet": "dim", "strong": "bold", "good": "green"}
EXAMPLES = 3


def summary(report: Report, *, colour: bool = False, examples: int = EXAMPLES, width: int = 0) -> str:
    """The report as text that ends in a line feed; with escape codes only where `colour` asks for them.

    >>> print(summary(Report(files=("a.xml",), records=2, carriers=5)), end="")
    read: 1 file, 2 records, 5 carriers
    <BLANKLINE>
    nothing to report
    """
    lines = list(_lines(report, examples))
    return _coloured(lines, width) if colour else "".join("".join(t for t, _ in line).rstrip() + "\n" for line in lines)


def _lines(report: Report, examples: int) -> Iterator[Line]:
    yield [("read: ", "quiet"), (_read(report), "strong")]
    yield []
    for code, found in report.by_code().items():
        yield from _group(code, found, report.count(code, found), examples)
    yield _totals(report)
    if report.sums:
        yield from _accounts(report)
    if report.held:
        yield []
        yield [("held", "strong")]
        yield from ([(f"  {count:>9,}  ", ""), (reason, "")] for reason, count in report.held.items())
    if report.written:
        yield []
        yield [("written", "strong")]
        yield from ([("  " + place, "")] for place in report.written)


def _read(report: Report) -> str:
    counts = [plural(len(report.files), "file")] if report.files else []
    counts.append(plural(report.records, "record"))
    if report.carriers:
        counts.append(plural(report.carriers, "carrier"))
    if report.delivered is not None:
        counts.append(f"{report.delivered:,} delivered")
    return ", ".join(counts)


def _group(code: str, found: list[Finding], count: int, examples: int) -> Iterator[Line]:
    word = max(item.severity for item in found).word
    yield [(f"{word:<8}", word), (f"{code}  {codes()[code].name}", "strong"), (f"  {plural(count, 'time')}", "quiet")]
    for item in found[:examples]:
        yield [("  " + (place(item.origin) or "(no place)"), "quiet"), (f"  {item.message}", "")]
        if item.suggestions:
            yield [(f"    perhaps: {' | '.join(item.suggestions)}", "good")]
    if count > examples:
        yield [(f"  and {count - examples:,} more", "quiet")]
    yield [("  to mend: ", "quiet"), (found[0].next_step or codes()[code].mend, "")]
    yield []


def _totals(report: Report) -> Line:
    known = f"{report.known:,} more are accepted for now" if report.known else ""
    if report.worst is None:
        return [("nothing to report" + (f"; {known}" if known else ""), "good")]
    spans: Line = []
    for word, count in report.by_severity.items():
        spans += [(", " if spans else "", ""), (plural(count, word), word if count else "quiet")]
    return spans + ([(f"; {known}", "quiet")] if known else [])


def _accounts(report: Report) -> Iterator[Line]:
    yield []
    total = sum(report.sums.values())
    yield [(f"cells read {report.cells_read or total:,}", "strong")]
    for name, count in report.sums.items():
        share = f"{100 * count / total:5.1f} %" if total else ""
        yield [(f"  {count:>9,}  ", ""), (f"{name:<12}", ""), (share, "quiet")]
    if report.cells_read and total != report.cells_read:
        yield [(f"  {report.cells_read - total:>9,}  not accounted for", "error")]


def _coloured(lines: list[Line], width: int) -> str:
    from rich.console import Console  # late: a pipe never needs it
    from rich.text import Text

    console = Console(force_terminal=True, color_system="standard", width=width or None, highlight=False)
    with console.capture() as captured:
        for line in lines:
            text = Text()
            for part, style in line:
                text.append(part, STYLES.get(style, ""))
            console.print(text, soft_wrap=True)
    return captured.get()


def lines(report: Report) -> str:
    """One finding a line, `file:line:column: severity CODE: message`, as editors read it.

    >>> from crosswalk.findings import Origin, finding
    >>> found = finding("RL03", Origin(file="a.xml", line=7), 'Is Part Of "A"')
    >>> print(lines(Report(findings=(found,))), end="")
    a.xml:7: error RL03: Is Part Of "A"; correct the identifier
    """
    return "".join(f"{annotation(found)}\n" for found in report.findings)


def annotation(found: Finding) -> str:
    """One finding as one line; a cell stands where a line number would."""
    rest = f"; {found.next_step}" if found.next_step else ""
    message = " ".join(f"{found.message}{rest}".split())
    return f"{place(found.origin) or '-'}: {found.severity.word} {found.code}: {message}"


_CONTROL = re.compile("[\x00-\x1f\x7f-\x9f]")  # a file name may hold anything


def place(origin: Origin) -> str:
    r"""Where a finding points, as short as editors read it: `in.xml:12:3`, `tapes.xlsx:Tapes!F27`, `tapes.csv:27:6`.

    >>> place(Origin(file="in/tapes.csv", cell="tapes.csv:27:6"))
    'in/tapes.csv:27:6'
    >>> print(place(Origin(file="new\nline.xml", line=3)))
    new\nline.xml:3
    """
    file = _CONTROL.sub(lambda found: found[0].encode("unicode_escape").decode(), origin.file)
    if not origin.cell:
        numbers = [str(number) for number in (origin.line, origin.column) if number]
        return ":".join([file, *numbers]) if file else origin.record or origin.path
    if "!" in origin.cell or ":" not in origin.cell or not file:
        return ":".join(part for part in (file, origin.cell) if part)
    return file + origin.cell[origin.cell.index(":") :]
