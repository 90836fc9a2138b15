"""The reference of all codes, made from the code table: one code explained, and the page `docs/codes.md`.

Run as `python -m crosswalk.reports.reference` to write the page; a test fails where the page and the table differ.
"""

from __future__ import annotations

from pathlib import Path

import msgspec

from crosswalk.errors import MappingError
from crosswalk.findings import Code, codes
from crosswalk.reports.model import as_json_text

FAMILIES = {
    "TX": "Text",
    "DT": "Dates",
    "DU": "Durations and timecodes",
    "CA": "Carriers",
    "VO": "Vocabularies",
    "NM": "Names",
    "ID": "Identifiers and parts",
    "LA": "Languages",
    "SH": "Sheets",
    "MP": "Mapping",
    "RC": "Record rules",
    "RL": "Relations",
    "RT": "Rights",
    "PR": "Privacy",
    "SC": "Schema and well-formedness",
    "PF": "Profiles",
    "PB": "Reading PBCore",
    "DC": "Dublin Core",
    "OA": "Harvested records",
    "RD": "RDF",
    "FX": "Fixity and files",
    "FT": "File formats",
    "LG": "Ledger",
    "DL": "Delivery",
    "DE": "Decisions",
    "KN": "Known findings and waivers",
}


def explain(word: str) -> str:
    """All that the table says of a code, given by its code or its readable name; raises MappingError for another word.

    >>> explain("DU02").splitlines()[0]
    'DU02 duration.impossible (error)'
    """
    row = _row(word)
    return (
        f"{row.code} {row.name} ({row.severity})\n\n{row.why}\n\n"
        f"not so:   {row.bad}\nbut so:   {row.good}\nto mend:  {row.mend}\nsource:   {row.source}\n"
    )


def explain_json(word: str) -> str:
    """The same as JSON, for programs.

    >>> explain_json("DU02").splitlines()[1]
    '  "code": "DU02",'
    """
    return as_json_text(msgspec.to_builtins(_row(word))).rstrip("\n")


def _row(word: str) -> Code:
    row = codes().get(word.upper()) or next((code for code in codes().values() if code.name == word), None)
    if row is None:
        raise MappingError(word, "is no code", _near(word))
    return row


def _near(word: str) -> str:
    family = [code for code in codes() if code[:2] == word[:2].upper()]
    if family:
        return f"of that family there are {', '.join(family)}"
    return f"families are {', '.join(sorted({code[:2] for code in codes()}))}"


def page() -> str:
    """The reference page in Markdown, by family, in the order of the codes."""
    parts = ["# Codes of findings\n\nMade from `crosswalk/codes.toml` by `python -m crosswalk.reports.reference`.\n"]
    parts.append("`crosswalk validate --explain CODE` prints one entry.\n")
    families: dict[str, list[Code]] = {}
    for code in sorted(codes()):
        families.setdefault(code[:2], []).append(codes()[code])
    parts.append("".join(f"- [{key}](#{key.lower()}): {FAMILIES.get(key, key)}\n" for key in families))
    for key, rows in families.items():
        parts.append(f'## <a id="{key.lower()}"></a>{key}: {FAMILIES.get(key, key)}\n')
        parts += [_entry(row) for row in rows]
    return "\n".join(parts)


def _entry(row: Code) -> str:
    return (
        f"### {row.code} `{row.name}`\n\n*{row.severity}.* {row.why}\n\n"
        f"- not so: {_code(row.bad)}\n- but so: {_code(row.good)}\n- to mend: {row.mend}\n- source: {row.source}\n"
    )


def _code(text: str) -> str:
    """Text as a code span, with more back-ticks around it than in it."""
    fence = "`"
    while fence in text:
        fence += "`"
    pad = " " if text.startswith("`") or text.endswith("`") else ""
    return f"{fence}{pad}{text}{pad}{fence}"


def main(path: Path = Path("docs/codes.md")) -> None:
    """Writes the page."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    main()
