"""Running the examples of the code table: the files in `tests/cases/codes` say, per code, how to run its two.

    reading   a parser of values (`parser`), a text for `bad` and one for `good`, and `context` where it needs any
    record    what stands in a description document; {BASE} is an identifier, a title and a description, {PLACED} what
              an instantiation needs; `vocabulary = true` runs the vocabulary layer, else the rules
    records   two or more such records, for what shows only between them (a list of texts each)
    document  a whole document, as it stands in a file
    profile   a profile (`profile`, TOML or Schematron) and a record as above
    call      a function in this module of the name `code_<CODE>`, for what is none of these; it takes "bad" or "good"

Another family adds its own file, or a row to one.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, cast

from lxml import etree

from crosswalk.checks.index import RecordIndex
from crosswalk.checks.place import Place
from crosswalk.checks.rules import check_record
from crosswalk.checks.run import load_profile
from crosswalk.checks.schema import NAMESPACE, SchemaCheck, unreadable
from crosswalk.checks.schematron import Schematron
from crosswalk.checks.vocabulary import check_vocabulary
from crosswalk.errors import CannotContinue
from crosswalk.findings import Finding
from crosswalk.records import Asset, Record
from crosswalk.standards.pbcore_tree import Walk
from crosswalk.values.reading import Context
from crosswalk.values.registry import parser

FOLDER = Path(__file__).parent.parent / "cases" / "codes"
BASE = (
    '<pbcoreIdentifier source="Merrow programme log">TDLN-0423</pbcoreIdentifier>'
    "<pbcoreTitle>Wreck Diving for Crabs</pbcoreTitle><pbcoreDescription>Below the pier.</pbcoreDescription>"
    "<pbcoreRightsSummary><rightsSummary>ask the archive</rightsSummary></pbcoreRightsSummary>"
)
NAMED = '<instantiationIdentifier source="Merrow shelf number">0117</instantiationIdentifier>'
PLACED = f"{NAMED}<instantiationLocation>Vault A</instantiationLocation>"


def cases() -> dict[str, dict[str, Any]]:
    """All examples by code; a code stands in one file only."""
    found: dict[str, dict[str, Any]] = {}
    for path in sorted(FOLDER.glob("*.toml")):
        for code, case in tomllib.loads(path.read_text(encoding="utf-8")).items():
            assert code not in found, f"{code} stands in two files"
            found[code] = case
    return found


def run(code: str, case: dict[str, Any], which: str) -> set[str]:
    """The codes that the bad or the good example of a code gives."""
    runner = {
        "reading": _reading,
        "record": _record,
        "records": _records,
        "document": _document,
        "profile": _profile,
    }
    if case["run"] == "call":
        return {found.code for found in globals()[f"code_{code}"](which)}
    return runner[case["run"]](case, case[which])


def filled(text: str) -> str:
    """A record's content with the usual parts put in."""
    return text.replace("{BASE}", BASE).replace("{PLACED}", PLACED).replace("{NAMED}", NAMED)


def element_of(content: str) -> etree._Element:
    """The element of a record with that content."""
    return etree.fromstring(document_of(filled(content)))


def document_of(content: str) -> str:
    """A description document with that content."""
    return f'<pbcoreDescriptionDocument xmlns="{NAMESPACE}">{content}</pbcoreDescriptionDocument>'


def record_of(element: etree._Element) -> Record:
    """The record that an element holds."""
    walk = Walk(element, "case.xml", "/pbcoreDescriptionDocument", lambda: [(1, 1)] * 1000, namespace=NAMESPACE)
    return cast("Record", walk.read(element, Asset))


def _reading(case: dict[str, Any], text: str) -> set[str]:
    reading = parser(case["parser"])(text, Context(**case.get("context", {})))
    return {doubt.code for doubt in reading.doubts}


def _record(case: dict[str, Any], content: str) -> set[str]:
    record = record_of(element_of(content))
    found = check_vocabulary(record) if case.get("vocabulary") else check_record(record)
    return {one.code for one in found}


def _records(case: dict[str, Any], contents: Iterable[str]) -> set[str]:
    index = RecordIndex()
    for number, content in enumerate(contents, 1):
        element = element_of(content)
        index.add(record_of(element), Place("case.xml", element, number))
    return {one.code for one in index.findings()}


def _document(case: dict[str, Any], content: str) -> set[str]:
    text = filled(content).replace("{NAMESPACE}", NAMESPACE)
    return {one.code for one in SchemaCheck().content(text.encode(), "case.xml")}


def _profile(case: dict[str, Any], content: str) -> set[str]:
    with TemporaryDirectory() as folder:
        path = Path(folder) / ("case.sch" if case["profile"].lstrip().startswith("<") else "case.toml")
        path.write_text(case["profile"].replace("{NAMESPACE}", NAMESPACE), encoding="utf-8")
        profile = load_profile(str(path))
        element = element_of(content)
        place = Place("case.xml", element)
        found = profile.check(place) if isinstance(profile, Schematron) else profile.check(record_of(element), place)
    return {one.code for one in found}


def code_SC12(which: str) -> list[Finding]:
    """A packed file that is cut off, and one that is whole."""
    import gzip

    content = gzip.compress(document_of(BASE).encode())
    with TemporaryDirectory() as folder:
        path = Path(folder) / "records.xml.gz"
        path.write_bytes(content[: len(content) // 2] if which == "bad" else content)
        try:
            return list(SchemaCheck().file(path))
        except CannotContinue as error:
            return [unreadable(error, str(path))]


def code_SC13(which: str) -> list[Finding]:
    """A letter among the records, and a record."""
    from crosswalk.pipeline.validating import iter_findings

    with TemporaryDirectory() as folder:
        path = Path(folder) / ("letter.txt" if which == "bad" else "records.xml")
        path.write_text("Dear archivist" if which == "bad" else document_of(BASE), encoding="utf-8")
        return list(iter_findings([path]))


def code_KN01(which: str) -> list[Finding]:
    """A list that knows a finding which no longer occurs, and one which still does."""
    from crosswalk.checks.accepted import read_known, write_known

    before = check_record(record_of(element_of(BASE.replace("Wreck Diving for Crabs", " "))))
    with TemporaryDirectory() as folder:
        path = Path(folder) / "known.json"
        path.write_bytes(write_known(before, path.parent))
        known = read_known(path)
        list(known.unknown([] if which == "bad" else before))
        return list(known.gone())


def code_KN02(which: str) -> list[Finding]:
    """A waiver for what the record does not do, and one for what it does."""
    from crosswalk.checks.accepted import read_waivers

    found = check_record(record_of(element_of(BASE.split("<pbcoreRightsSummary>", maxsplit=1)[0])))
    with TemporaryDirectory() as folder:
        path = Path(folder) / "decisions.csv"
        code = "RC30" if which == "bad" else "RC50"
        row = f"waiver,TDLN-0423,{code},A. Vale,2026-03-02,"
        path.write_text(f"kind,text,decided,by,on,note\n{row}\n", encoding="utf-8")
        waivers = read_waivers(path)
        list(waivers.left(found))
        return list(waivers.unused())
