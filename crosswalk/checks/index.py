"""What only shows between records: identifiers used twice, relations that point nowhere or lack their inverse.

The index is a private SQLite database without a name: it stays in memory while it is small and moves to a temporary
file by itself, so that a collection of millions of records is checked in flat memory.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing
from functools import cache
from typing import TypeAlias, cast

from crosswalk.checks.place import NOWHERE, Place
from crosswalk.checks.rules.facts import inverses, plain_key
from crosswalk.findings import Finding, Origin, cell_address, finding
from crosswalk.records import (
    NAMESPACE,
    Asset,
    AssetRelation,
    Instantiation,
    InstantiationRelation,
    Record,
    Text,
)

NameRow: TypeAlias = tuple[str, str, str, str, str]  # key, source, digest, place, set
LinkRow: TypeAlias = tuple[int, str, str, str, str, str, str]  # number, own key, key, type, inverse, said, place
Rows: TypeAlias = tuple[list[NameRow], list[LinkRow]]

BATCH_ROWS = 1000
CACHE_KIBIBYTES = 8192  # what stays in memory; the rest is in a temporary file
_MARK = "\x1f"  # between the parts of a place, which is one text since only findings take it apart

_TABLES = """
create table names (key text, source text, digest text, place text, within text);
create table links (number integer, own text, key text, type text, inverse text, said text, place text);
"""
_INDEXES = """
create index names_key on names (key, source, within);
create index links_own on links (own, type, key);
"""
_TWICE = """
select n.key, n.source, n.place, f.place
from (select key, source, within, min(rowid) as first from names group by key, source, within having count(*) > 1) g
join names f on f.rowid = g.first join names n on n.key = g.key and n.source = g.source and n.within = g.within
where n.rowid > g.first and (substr(n.key, 1, 1) = 'a' or n.digest <> f.digest) order by n.rowid
"""
_NOWHERE = """
select said, key, place from links l where not exists (select 1 from names n where n.key = l.key)
group by number order by l.rowid
"""
_ONE_WAY = """
select said, key, place from links l
where inverse <> '' and own <> key and exists (select 1 from names n where n.key = l.key)
group by number
having not max(exists (select 1 from links b where b.own = l.key and b.type = l.inverse and b.key = l.own))
order by l.rowid
"""
_SELF = "select said, key, place from links where own = key group by number order by rowid"
_LINKS = {
    "RL01": (_NOWHERE, "and no record has that identifier"),
    "RL02": (_ONE_WAY, "which does not say so in return"),
    "RL03": (_SELF, "which is the record itself"),
}
_INSERT_NAME = "insert into names values (?, ?, ?, ?, ?)"
_INSERT_LINK = "insert into links values (?, ?, ?, ?, ?, ?, ?)"


class RecordIndex:
    """Gathers identifiers and relations as records stream by; `findings` then says what does not fit.

    Rows are plain tuples, so that a worker can make them (`Gathered`) and another process add them. An asset has one
    identity; the same carrier may be described under several assets, so two instantiations of one number are doubtful
    only where the descriptions differ. One set of records may be there in several standards: `within` is the set that
    the next records belong to, in which an identifier counts once.

    >>> from crosswalk.records import Identifier
    >>> index = RecordIndex()
    >>> for number in range(2):
    ...     index.add(Asset(identifiers=(Identifier("TDLN-0423", source="Merrow"),)))
    >>> [found.code for found in index.findings()]
    ['RC10']
    """

    def __init__(self) -> None:
        self._database = sqlite3.connect("", check_same_thread=False)
        self._database.executescript(f"pragma cache_size = -{CACHE_KIBIBYTES}; pragma journal_mode = off; {_TABLES}")
        self._gathered = Gathered()
        self._links = 0
        self.within = ""

    def add(self, record: Record, place: Place = NOWHERE) -> None:
        """Notes the identifiers and relations of a record."""
        self._gathered.within = self.within
        self._gathered.add(record, place)
        if len(self._gathered.rows[0]) >= BATCH_ROWS:
            self._flush()

    def add_rows(self, names: Iterable[NameRow], links: Iterable[LinkRow]) -> None:
        """Notes the rows of a `Gathered`, perhaps of another process."""
        self._flush()
        rows = [(self._links + row[0], *row[1:]) for row in links]
        self._database.executemany(_INSERT_NAME, names)
        self._database.executemany(_INSERT_LINK, rows)
        self._links = max([self._links, *(row[0] for row in rows)]) + 1

    def findings(self) -> Iterator[Finding]:
        """What does not fit, in the order of the input. Called once, after the last record."""
        self._flush()
        with closing(self._database) as database:
            database.executescript(_INDEXES)
            for key, source, at, first in database.execute(_TWICE):
                yield _twice(key, source, _origin(at), _origin(first))
            for code, (query, ending) in _LINKS.items():
                for said, key, at in database.execute(query):
                    yield finding(code, _origin(at), f'{said} "{key[1:]}", {ending}', value=key[1:])

    def _flush(self) -> None:
        gathered, self._gathered = self._gathered, Gathered()
        if gathered.rows[0] or gathered.rows[1]:
            self.add_rows(*gathered.rows)


class Gathered:
    """The rows of some records, to be handed on: `RecordIndex.add_rows(*gathered.rows)`."""

    def __init__(self, within: str = "") -> None:
        self.rows: Rows = ([], [])
        self.within = within

    def add(self, record: Record, place: Place = NOWHERE) -> None:
        """Notes the identifiers and relations of a record, its parts and instantiations included."""
        places = _Places(place.of(record))
        names, links = self.rows
        for node, path in _nodes(record, "", []):
            is_asset = isinstance(node, Asset)
            kind, step, relation_step = _KINDS[is_asset]
            digest = "" if is_asset else _digest(cast("Instantiation", node))
            places.row = node.evidence.row if node.evidence is not None else 0
            for number, name in enumerate(node.identifiers, 1):
                at = places.next(name, f"{path}{step}[{number}]")
                names.append((kind + name.text, name.source or "", digest, at, self.within))
            if node.relations:
                _add_links(node, kind, f"{path}{relation_step}", places, links)


def _add_links(node: Asset | Instantiation, kind: str, path: str, places: _Places, links: list[LinkRow]) -> None:
    """One row for each identifier of the node and each relation; those of one relation share a number."""
    relations: tuple[AssetRelation | InstantiationRelation, ...] = node.relations
    count = links[-1][0] + 1 if links else 0
    for number, relation in enumerate(relations, 1):
        target = relation.identifier
        if target is None:
            continue
        said = relation.type.text if relation.type else "relation"
        key = plain_key(said)
        at = places.next(target, f"{path}[{number}]")
        for own in node.identifiers or (target,):
            own_key = kind + own.text if node.identifiers else ""
            links.append((count, own_key, kind + target.text, key, _inverses(kind).get(key, ""), said, at))
        count += 1


_KINDS = {
    True: ("a", "pbcoreIdentifier", "pbcoreRelation"),
    False: ("i", "instantiationIdentifier", "instantiationRelation"),
}
_LEAVES = ("pbcoreIdentifier", "pbcoreRelationIdentifier", "instantiationIdentifier", "instantiationRelationIdentifier")
_TAGS = tuple(f"{{{NAMESPACE}}}{name}" for name in _LEAVES)


class _Places:
    """The places of identifiers and relations, taken in the order in which they stand in the document.

    That is the order of their elements too, which gives their lines without a search for each."""

    def __init__(self, place: Place) -> None:
        element = place.element
        self._file, self._line, self._record = place.file, place.line, place.record
        self._before = place.whole("")
        self.row = 0  # of the node that is looked at, for evidence that names none
        self._anchor = place.anchor if element is None and not place.line else None
        self._lines: list[object] = []
        if element is not None:
            self._lines = [leaf.sourceline for leaf in element.iter(*_TAGS)]
            self._lines.reverse()

    def next(self, value: Text, path: str) -> str:
        """File, sheet, line or row, field ("" where it is no cell), path and record, as one text."""
        evidence = value.evidence or self._anchor
        if evidence is not None and (row := evidence.row or self.row):
            at = f"{evidence.file}\x1f{evidence.sheet}\x1f{row}\x1f{evidence.column}\x1f{path}"
            return f"{at}\x1f{self._record}"
        line = self._lines.pop() if self._lines else self._line
        return f"{self._file}\x1f\x1f{line}\x1f\x1f{self._before}/{path}\x1f{self._record}"


def _origin(at: str) -> Origin:
    file, sheet, line, field, path, record = at.split(_MARK, 5)
    if field:
        return Origin(file=file, cell=cell_address(file, sheet, int(line), int(field)), path=path, record=record)
    return Origin(file=file, line=int(line), path=path, record=record)


def _twice(key: str, source: str, origin: Origin, other: Origin) -> Finding:
    first = " ".join(part for part in (other.record, other.cell or f"{other.file}:{other.line}".strip(":0")) if part)
    text, of = key[1:], f" ({source})" if source else ""
    if key[0] == "a":
        return finding("RC10", origin, f'the identifier "{text}"{of} is that of {first} already', value=text)
    return finding("RC11", origin, f'the number "{text}"{of} is that of another carrier, {first}', value=text)


@cache
def _inverses(kind: str) -> dict[str, str]:
    return inverses("asset-relations" if kind == "a" else "instantiation-relations")


_Found: TypeAlias = list[tuple[Asset | Instantiation, str]]


def _nodes(node: Asset | Instantiation, path: str, found: _Found) -> _Found:
    """The node and all below it that have identifiers, in document order, each with its path."""
    found.append((node, path))
    if isinstance(node, Asset):
        for number, instantiation in enumerate(node.instantiations, 1):
            _nodes(instantiation, f"{path}pbcoreInstantiation[{number}]/", found)
    if node.parts:
        step = "pbcorePart" if isinstance(node, Asset) else "instantiationPart"
        parts: tuple[Asset | Instantiation, ...] = node.parts
        for number, part in enumerate(parts, 1):
            _nodes(part, f"{path}{step}[{number}]/", found)
    return found


def _digest(node: Instantiation) -> str:
    """What tells one carrier from another beside its number."""
    physical, digital, media, place = node.physical, node.digital, node.media_type, node.location
    texts = [
        value.text for value in (physical, digital, media, place, *node.generations, *node.dates) if value is not None
    ]
    return "|".join(texts)
