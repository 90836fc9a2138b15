"""Documents against their schema, by libxml2, record by record; failed records are explained by xmlschema as well.

libxml2 is fast and names only the first fault of order or number under each parent; xmlschema names them all, at a
thirtieth of the speed. So one judges and the other explains. Neither follows `schemaLocation` or touches the network.
"""

from __future__ import annotations

import re
import threading
from collections.abc import Iterable, Iterator
from contextlib import suppress
from functools import cache
from operator import attrgetter
from pathlib import Path
from typing import Any, cast

import msgspec
from lxml import etree

from crosswalk.checks.faults import Fault, from_libxml2, from_xmlschema
from crosswalk.checks.place import Place
from crosswalk.checks.stream import LOCATIONS, Head, Records, Stray, head
from crosswalk.checks.tree import Tree, local, tree_of
from crosswalk.errors import CannotContinue, UnreadableInput
from crosswalk.findings import Finding, Origin, finding
from crosswalk.resources import schema_path
from crosswalk.xmlio import chunks, not_well_formed, sources

EXPLAINED = 200  # failed records of one document that xmlschema explains too; the rest have libxml2's word only
ATTRIBUTES = 100  # of one element, at the most, where xmlschema is to explain
RECORD_TAGS = ("pbcoreDescriptionDocument", "pbcoreInstantiationDocument")
NAMESPACE = "http://www.pbcore.org/PBCore/PBCoreNamespace.html"
TAGS = tuple(f"{{{NAMESPACE}}}{name}" for name in RECORD_TAGS)

_compiled = threading.local()  # one shared XMLSchema gives other threads' messages, so each thread has its own


class Checked(msgspec.Struct):
    """One record: its element, alive until the next is asked for, and what is wrong with it.

    There is no element where the findings concern the whole document."""

    file: str
    element: etree._Element | None
    number: int  # of the record in its document, from 1
    findings: list[Finding]

    @property
    def place(self) -> Place:
        """Where the record stands, and what it is called."""
        name = record_name(self.element) if self.element is not None else ""
        return msgspec.structs.replace(self.bare_place, record=name)

    @property
    def bare_place(self) -> Place:
        """Where the record stands; what it is called is left to who reads it."""
        if self.element is None:
            return Place(self.file)
        inside = self.element.getparent() is not None
        return Place(self.file, self.element, self.number if inside else 0, 0, "", local(self.element.tag))


class SchemaCheck:
    """Documents against one schema: ours by name (`pbcore-2.1.xsd`) or any by path; "" checks well-formedness only.

    `tags` are the elements that are one record each, in Clark notation; () checks the whole document in one piece.
    Where nothing is said, they are PBCore's for a schema of PBCore, and () for another.

    >>> check = SchemaCheck("pbcore-2.1.xsd")
    >>> [f.code for f in check.content(b'<pbcoreCollection xmlns="%s"/>' % NAMESPACE.encode(), "out.xml")]
    ['SC03']
    """

    def __init__(
        self, name: str = "pbcore-2.1.xsd", tags: tuple[str, ...] | None = None, explained: int = EXPLAINED
    ) -> None:
        self.path = "" if not name else name if Path(name).is_absolute() else str(schema_path(name))
        of_pbcore = not name or Path(name).name.startswith("pbcore")
        self.tags = tags if tags is not None else TAGS if of_pbcore else ()
        self._explain_at_most = explained

    def accepts(self, content: bytes) -> bool:
        """Whether one document in memory is valid: the verdict alone. It is judged while it is parsed, and no tree is
        built, which halves the time."""
        schema = _engine(self.path) if self.path else None
        parser = etree.XMLParser(
            target=cast("Any", _NoTree()), schema=schema, resolve_entities=False, no_network=True, huge_tree=True
        )
        try:
            etree.fromstring(content, parser)
        except etree.XMLSyntaxError:
            return False
        return not parser.error_log

    def content(self, content: bytes, file: str = "") -> list[Finding]:
        """What is wrong with one document in memory."""
        return [found for checked in self.pieces([content], file) for found in checked.findings]

    def file(self, path: Path) -> Iterator[Finding]:
        """What is wrong with one file, which may be packed; several documents in a zip are checked in turn."""
        for checked in self.records(path):
            yield from checked.findings

    def records(self, path: Path) -> Iterator[Checked]:
        """The records of one file with what is wrong with each, in flat memory."""
        for source in sources(path):
            yield from self.pieces(chunks(source), source.name)

    def pieces(self, pieces: Iterable[bytes], file: str = "") -> Iterator[Checked]:
        """The records of a document that comes piece by piece (standard input, say)."""
        try:
            first, again = head(pieces, file)
            yield Checked(file, None, 0, list(_about_head(first, file)))
            if not first.doctype:
                yield from self._stream(again, first, file)
        except UnreadableInput as error:
            yield Checked(file, None, 0, [unreadable(error, file)])

    def element(self, place: Place, explain: bool = False) -> list[Finding]:
        """What is wrong with the element at a place, as a document of its own. `explain` asks xmlschema too."""
        element = place.element
        if element is None or not self.path or _engine(self.path).validate(element):
            return []
        return self._faults(element, place, explain)

    def _faults(self, element: etree._Element, place: Place, explain: bool) -> list[Finding]:
        tree = tree_of(element)
        faults = {fault.key: fault for fault in (from_libxml2(tree, error) for error in self._log())}
        if explain:
            for fault in _explained(self.path, tree):
                faults.setdefault(fault.key, fault)
        return [_finding(fault, place) for fault in sorted(faults.values(), key=attrgetter("line"))]

    def _log(self) -> Iterable[etree._LogEntry]:
        return cast("Iterable[etree._LogEntry]", _engine(self.path).error_log)

    def _stream(self, pieces: Iterator[bytes], first: Head, file: str) -> Iterator[Checked]:
        records = Records(pieces, self.tags or (first.tag,))
        left = self._explain_at_most
        is_valid = _engine(self.path).validate if self.path else None
        try:
            for element in records:
                if first.locations:
                    _forget_locations(element)
                checked = Checked(file, element, records.count, [])
                if is_valid is not None and not is_valid(element):
                    checked.findings = self._faults(element, checked.place, explain=left > 0)
                    left -= 1
                yield checked
        except etree.XMLSyntaxError as error:
            yield Checked(file, None, 0, [unreadable(not_well_formed(file, error), file)])
            return
        if records.root is not None and records.root.tag not in records.tags:
            yield Checked(file, None, 0, self._envelope(records.root, records.strays, file))

    def _envelope(self, root: etree._Element, strays: list[Stray], file: str) -> list[Finding]:
        """What is wrong with the collection itself: its attributes, strays between its records, that it is empty."""
        _forget_locations(root)
        place = Place(file, root, root=local(root.tag))
        if not self.path or _engine(self.path).validate(root):
            return [_stray(stray, place) for stray in strays]
        tree = tree_of(root)
        own = [fault for fault in (from_libxml2(tree, error) for error in self._log()) if fault.element is root]
        if any(stray.text for stray in strays):
            own = [fault for fault in own if fault.code != "SC08"]  # the strays say more
        unknown = any(fault.code == "SC07" for fault in own)
        return [_finding(fault, place) for fault in own] + [_stray(stray, place) for stray in strays if not unknown]


class _NoTree:
    """Takes what a parser sees, and keeps nothing."""

    def close(self) -> None:
        """The end of the document."""


def _engine(path: str) -> etree.XMLSchema:
    """The compiled schema of this thread."""
    if not hasattr(_compiled, "schemas"):
        _compiled.schemas = {}
    schemas: dict[str, etree.XMLSchema] = _compiled.schemas
    if path not in schemas:
        try:
            schemas[path] = etree.XMLSchema(etree.parse(path, etree.XMLParser(no_network=True)))
        except (etree.XMLSchemaParseError, etree.XMLSyntaxError, OSError) as error:
            raise CannotContinue(path, f"is no usable schema ({error})", "give another schema") from error
    return schemas[path]


@cache
def _explainer(path: str) -> Any:
    import xmlschema  # late: only failed records need it

    return xmlschema.XMLSchema(path, allow="local")


def _explained(path: str, tree: Tree) -> Iterator[Fault]:
    """What xmlschema says of an element, as far as it gets: it stops at an `xsi:type` that no schema declares. It
    writes out all attributes of an element for each wrong one, so that it is not asked where there are very many."""
    from xmlschema import XMLSchemaException

    if any(len(element.attrib) > ATTRIBUTES for element in tree.top.iter(etree.Element)):
        return
    with suppress(XMLSchemaException):
        yield from (from_xmlschema(tree, error) for error in _explainer(path).iter_errors(tree.top))


def _forget_locations(element: etree._Element) -> None:
    """Removes every `xsi:schemaLocation`, or libxml2 would try to load what it names."""
    for holder in element.iter():
        for name in LOCATIONS:
            if isinstance(holder.tag, str) and name in holder.attrib:
                del holder.attrib[name]


def _about_head(first: Head, file: str) -> Iterator[Finding]:
    origin = Origin(file=file, line=first.line)
    if first.doctype:
        yield finding("SC10", origin, "the document has a type definition, which is not read", value=first.doctype)
    if first.locations:
        yield finding("SC11", origin, "the address of a schema in the document is not followed", value=first.locations)


_PLACE = re.compile(r"(.*?)(?::(\d+))?(?::(\d+))?", re.DOTALL)
_PROBLEMS = (("not well-formed", "SC01"), ("no format that can be read", "SC13"))


def unreadable(error: CannotContinue, file: str) -> Finding:
    """The finding that stands for a file that could not be read, so that the next one can be."""
    found = _PLACE.fullmatch(error.place)
    place, line, column = found.groups() if found else (error.place, None, None)
    at = Origin(file=place if line else file or error.place, line=int(line or 0), column=int(column or 0))
    code = next((code for words, code in _PROBLEMS if words in error.problem), "SC12")
    return finding(code, at, error.problem, next_step=error.next_step)


def _stray(stray: Stray, place: Place) -> Finding:
    origin = Origin(file=place.file, line=stray.line, path=f"/{place.root}")
    if stray.tag:
        return finding("SC02", origin, f"{local(stray.tag)} may not stand between the records", value=local(stray.tag))
    return finding("SC08", origin, "there is text between the records", value=stray.text)


def _finding(fault: Fault, place: Place) -> Finding:
    assert place.element is not None  # a fault is about an element
    path = place.whole(tree_of(place.element).path(fault.element))
    origin = Origin(file=place.file, line=fault.line, path=path, record=place.record)
    return finding(fault.code, origin, _message(fault), value=fault.value[:200])


def record_name(record: etree._Element) -> str:
    """The text of the first identifier in a record; empty where there is none.

    >>> record_name(etree.fromstring('<r xmlns="n"><pbcoreIdentifier>TDLN-0423</pbcoreIdentifier></r>'))
    'TDLN-0423'
    """
    found = record.find("{*}pbcoreIdentifier")
    if found is None:
        found = record.find("{*}instantiationIdentifier")
    return (found.text or "").strip() if found is not None else ""


def _message(fault: Fault) -> str:
    name, wanted = local(fault.element.tag), " or ".join(fault.wanted[:6])
    sentences = {
        "SC02": f"{name} may not stand here" + (f"; here may stand {wanted}" if wanted else ""),
        "SC03": f"{wanted or 'an element'} is missing in {_holder(fault, name)}",
        "SC04": f'{name} needs the attribute "{fault.attribute}"',
        "SC05": f'{name} has no attribute "{fault.attribute}"',
        "SC06": f'{fault.attribute or name} may not be "{fault.value[:80]}" ({_reason(fault.said)})',
        "SC07": f"{name} is not the root of a document of this schema",
        "SC08": f"{name} holds text or elements that it may not hold",
    }
    return sentences.get(fault.code, fault.said)


def _holder(fault: Fault, name: str) -> str:
    parent = fault.element.getparent()
    if parent is not None and ("not expected" in fault.said or "Unexpected" in fault.said):
        return f"{local(parent.tag)}, before {name}"
    return name


def _reason(said: str) -> str:
    rest = said.split("' is not ", 1)
    return ("is not " + rest[1] if len(rest) > 1 else said).strip().rstrip(".")
