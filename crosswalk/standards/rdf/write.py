"""Records as RDF documents, `options.batch` records in each, at the memory of one batch."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from pathlib import PurePath

from crosswalk.errors import CannotContinue
from crosswalk.findings import Finding, Origin, finding
from crosswalk.records import Asset, Instantiation, Record, located
from crosswalk.standards.base import Document, WriteOptions
from crosswalk.standards.naming import Names, numbered
from crosswalk.standards.rdf.batch import Batch
from crosswalk.standards.rdf.forms import FORMS, URI, Setting
from crosswalk.standards.rdf.names import known
from crosswalk.standards.rdf.plan import Plan
from crosswalk.standards.rdf.serialise import Serialise
from crosswalk.standards.tables.flat_xml import bad_languages, encoded, identifier_of, language_tag
from crosswalk.standards.tables.losses import whole
from crosswalk.standards.tables.table import Known, Table, load
from crosswalk.standards.tables.uris import Minted, base_of, segment

KNOWN = Known(known, frozenset(FORMS))
_KINDS: dict[type, str] = {Asset: "asset", Instantiation: "instantiation"}


def table(house: str = "") -> Table:
    """The table for RDF, with a house's own rows."""
    return load("rdf", KNOWN, house)


def writer(serialise: Serialise, suffix: str) -> Callable[[Iterable[Record], WriteOptions], Iterator[Document]]:
    """The writer of one serialisation.

    It raises SameAddress where two records would have one URI, and CannotContinue where the base is no URI."""

    def write(records: Iterable[Record], options: WriteOptions) -> Iterator[Document]:
        maker, names, number = Blocks(options), Names(), 0
        stream = iter(records)
        while batch := list(islice(stream, 1 if options.one_each else options.batch)):
            number += 1
            identifiers = tuple(map(identifier_of, batch))
            stem = names.unique(identifiers[0]) if options.one_each else numbered(options.stem, number)
            text = serialise(maker.of(batch).blocks)
            yield Document(f"{stem}{suffix}", _bytes(text, suffix, batch), identifiers)

    return write


def _bytes(text: str, suffix: str, batch: list[Record]) -> bytes:
    if suffix == ".rdf":
        return encoded(text, batch[0])
    try:
        return text.encode()
    except UnicodeEncodeError as error:
        near = text[max(0, error.start - 60) : error.start].rpartition("\n")[2]
        problem = f"U+{ord(text[error.start]):04X} is half a character (Unicode 3.9, D71), after {near!r}"
        raise CannotContinue(identifier_of(batch[0]) or "record", problem, "clean the text first") from None


class Blocks:
    """Turns batches of records into blocks of statements."""

    def __init__(self, options: WriteOptions) -> None:
        self.base = base_of(options.base_uri)
        self._setting = Setting(self.base, language_tag(options.language))
        rows = table(options.table)
        self._plan = Plan(rows if options.language else rows.unspoken())
        self._options = options
        self._minted = {kind: Minted() for kind in _KINDS.values()}
        self._unnamed = 0

    def of(self, records: Iterable[Record]) -> Batch:
        """The blocks of these records, terms and provenance with them."""
        batch = Batch(self._setting)
        for record in records:
            self._record(record, batch)
        return batch

    def _record(self, record: Record, batch: Batch) -> None:
        self._tell(record)
        kind = "instantiation" if isinstance(record, Instantiation) else "asset"
        batch.evidence.clear()
        pairs = self._plan.node(kind, located(record), self._uri(kind, record), batch)
        if batch.evidence:
            self._provenance(pairs, batch)

    def _uri(self, kind: str, record: Record) -> str:
        identifier = identifier_of(record)
        if not identifier.strip():
            self._unnamed += 1
            return f"_:r{self._unnamed}"
        return f"{self.base}{kind}/{segment(self._minted[kind].key(identifier))}"

    def _provenance(self, pairs: list[str], batch: Batch) -> None:
        """Which rows a record came from, and which run made it (W3C PROV-O); the cells' texts stay in the ledger."""
        run = f"{self.base}run/{segment(self._options.stamp)}"
        pairs += ("rdf:type", "prov:Entity", URI, "prov:wasGeneratedBy", run, URI)
        if run not in batch.terms:
            batch.terms.add(run)
            started = ("prov:startedAtTime", self._options.stamp, "xsd:dateTime")
            batch.open(run).extend(("rdf:type", "prov:Activity", URI, *started))
        for path, sheet, row in batch.evidence:
            file = PurePath(path.replace("\\", "/")).name
            about = f"{self.base}source/{segment(file)}/" + (f"{segment(sheet)}/" if sheet else "") + f"row-{row}"
            pairs += ("prov:wasDerivedFrom", about, URI)
            if about not in batch.terms:
                batch.terms.add(about)
                source = batch.open(about)
                source += ("rdf:type", "prov:Entity", URI, "rec:file", file, "")
                source += ("rec:sheet", sheet, "") if sheet else ()
                source += ("rec:row", str(row), "xsd:integer")

    def _tell(self, record: Record) -> None:
        if self._options.on_loss is not None:
            for lost in whole(record, identifier_of(record)):
                self._options.on_loss(lost)
        if self._options.on_finding is not None:
            for problem in _bad_languages(record):
                self._options.on_finding(problem)


def _bad_languages(record: Record) -> Iterator[Finding]:
    for problem in bad_languages(record):
        message = f'"{problem.value}" is no code of ISO 639-2, so that no language is linked'
        yield finding("RD04", Origin(record=identifier_of(record)), message, value=problem.value)
