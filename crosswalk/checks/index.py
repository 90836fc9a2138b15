"""What only shows between records: identifiers used twice, relations that point nowhere or lack their inverse.

The index is a private SQLite database without a name: it stays in memory while it is small and moves to a temporary
file by itself, so that a collection of millions of records is checked in flat memory.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing
from functools import cache
from typing import Any, TypeAlias, cast

from crosswalk.checks.place import NOWHERE, Place
from crosswalk.checks.rules.facts import inverses, plain_key
from crosswalk.checks.stream import line_of
from crosswalk.findings import Finding, Origin, cell_address, finding
from crosswalk.records import NAMESPACE, Asset, AssetRelation, Instantiation, InstantiationRelation, Record, Text

Row: TypeAlias = tuple[Any, ...]
BATCH_ROWS = 2000
CACHE_KIBIBYTES = 8192  # what stays in memory; the rest is in a temporary file

_PLACE = "file text, sheet text, line integer, field integer, path text, record text"
_TABLES = f"""
create table names (owner integer, kind text, text text, source text, digest text, {_PLACE});
create table links (owner integer, kind text, text text, type text, inverse text, said text, {_PLACE});
"""
_INDEXES = """
create index names_text on names (kind, text);
create index names_owner on names (owner);
create index links_owner on links (owner);
"""
_TWICE = """
select n.kind, n.text, n.source, n.file, n.sheet, n.line, n.field, n.path, n.record,
       f.file, f.sheet, f.line, f.field, '', f.record
from names n join (select kind, text, source, min(rowid) as first from names
                   group by kind, text, source having count(*) > 1) g
     on n.kind = g.kind and n.text = g.text and n.source = g.source
     join names f on f.rowid = g.first
where n.rowid > g.first and (n.kind = 'asset' or n.digest <> f.digest) order by n.rowid
"""
_NOWHERE = """
select l.said, l.text, l.file, l.sheet, l.line, l.field, l.path, l.record from links l
where not exists (select 1 from names n where n.kind = l.kind and n.text = l.text) order by l.rowid
"""
_SELF = """
select l.said, l.text, l.file, l.sheet, l.line, l.field, l.path, l.record from links l
where exists (select 1 from names n where n.owner = l.owner and n.kind = l.kind and n.text = l.text) order by l.rowid
"""
_ONE_WAY = """
select l.said, l.text, l.file, l.sheet, l.line, l.field, l.path, l.record from links l
where l.inverse <> '' and exists (select 1 from names n where n.kind = l.kind and n.text = l.text)
  and not exists (select 1 from names n join links b on b.owner = n.owner join names mine on mine.text = b.text
                  where n.kind = l.kind and n.text = l.text and mine.owner = l.owner and b.type = l.inverse)
  and not exists (select 1 from names n where n.owner = l.owner and n.kind = l.kind and n.text = l.text)
order by l.rowid
"""
_LINKS = {
    "RL01": (_NOWHERE, "and no record has that identifier"),
    "RL02": (_ONE_WAY, "which does not say so in return"),
    "RL03": (_SELF, "which is the record itself"),
}
_INSERT_NAME = "insert into names values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
_INSERT_LINK = "insert into links values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"


class RecordIndex:
    """Gathers identifiers and relations as records stream by; `findings` then says what does not fit.

    `rows` of a record are plain tuples, so that a worker can make them and another process add them. An asset has one
    identity; the same carrier may be described under several assets, so two instantiations of one number are doubtful
    only where the descriptions differ.

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
        self._names: list[Row] = []
        self._links: list[Row] = []
        self._owner = 0

    def add(self, record: Record, place: Place = NOWHERE) -> None:
        """Notes the identifiers and relations of a record."""
        names, links = rows(record, place, self._owner)
        self._keep(names, links)

    def add_rows(self, names: Iterable[Row], links: Iterable[Row]) -> None:
        """Notes rows that `rows` made, perhaps in another process. Their owners count from 0 in each call."""
        base = self._owner
        self._keep([(base + n[0], *n[1:]) for n in names], [(base + k[0], *k[1:]) for k in links])

    def _keep(self, names: list[Row], links: list[Row]) -> None:
        self._names += names
        self._links += links
        self._owner = 1 + max(names[-1][0] if names else 0, links[-1][0] if links else 0, self._owner)
        if len(self._names) >= BATCH_ROWS:
            self._flush()

    def findings(self) -> Iterator[Finding]:
        """What does not fit, in the order of the input. Called once, after the last record."""
        self._flush()
        with closing(self._database) as database:
            database.executescript(_INDEXES)
            for kind, text, source, *at in database.execute(_TWICE):
                yield _twice(kind, text, source, at)
            for code, (query, ending) in _LINKS.items():
                for said, text, *at in database.execute(query):
                    yield finding(code, _origin(at), f'{said} "{text}", {ending}', value=text)

    def _flush(self) -> None:
        self._database.executemany(_INSERT_NAME, self._names)
        self._database.executemany(_INSERT_LINK, self._links)
        self._names, self._links = [], []


def _origin(at: list[Any]) -> Origin:
    file, sheet, line, field, path, record = at
    if field >= 0:
        return Origin(file=file, cell=cell_address(file, sheet, line, field), path=path, record=record)
    return Origin(file=file, line=line, path=path, record=record)


def _twice(kind: str, text: str, source: str, at: list[Any]) -> Finding:
    origin, other = _origin(at[:6]), _origin(at[6:])
    first = " ".join(part for part in (other.record, other.cell or f"{other.file}:{other.line}".strip(":0")) if part)
    of = f" ({source})" if source else ""
    if kind == "asset":
        return finding("RC10", origin, f'the identifier "{text}"{of} is that of {first} already', value=text)
    return finding("RC11", origin, f'the number "{text}"{of} is that of another carrier, {first}', value=text)


def rows(record: Record, place: Place = NOWHERE, owner: int = 0) -> tuple[list[Row], list[Row]]:
    """The rows of a record: of its identifiers and of its relations, parts and instantiations included. What has
    identifiers is numbered from `owner`."""
    names: list[Row] = []
    links: list[Row] = []
    places = _Places(place.of(record))
    for node, path in _nodes(record, "", []):
        is_asset = isinstance(node, Asset)
        kind, step, _ = _KINDS[is_asset]
        digest = "" if is_asset else _digest(cast(Instantiation, node))
        for number, name in enumerate(node.identifiers, 1):
            at = places.next(name, f"{path}{step}[{number}]")
            names.append((owner, kind, name.text, name.source or "", digest, *at))
        if node.relations:
            links += _links(node, path, places, owner)
        owner += 1
    return names, links


def _links(node: Asset | Instantiation, path: str, places: _Places, owner: int) -> Iterator[Row]:
    kind, _, step = _KINDS[isinstance(node, Asset)]
    relations: tuple[AssetRelation | InstantiationRelation, ...] = node.relations
    for number, relation in enumerate(relations, 1):
        at = places.next(relation.identifier, f"{path}{step}[{number}]")
        if relation.identifier is not None:
            yield (owner, kind, relation.identifier.text, *_type(relation.type, kind), *at)


_KINDS = {
    True: ("asset", "pbcoreIdentifier", "pbcoreRelation"),
    False: ("instantiation", "instantiationIdentifier", "instantiationRelation"),
}
_TAGS = tuple(f"{{{NAMESPACE}}}{name}" for _, *names in _KINDS.values() for name in names)


class _Places:
    """The places of identifiers and relations, taken in the order in which they stand in the document.

    That is the order of their elements too, which gives their lines without a search for each."""

    def __init__(self, place: Place) -> None:
        self._file, self._line, self._record = place.file, place.line, place.record
        self._before = place.whole("")
        self._anchor = place.anchor if place.element is None and not place.line else None
        self._lines = [line_of(e) for e in place.element.iter(*_TAGS)][::-1] if place.element is not None else []

    def next(self, value: Text | None, path: str) -> Row:
        """File, sheet, line or row, field (-1 where it is no cell), path and record."""
        evidence = (value.evidence if value is not None else None) or self._anchor
        if evidence is not None and evidence.row:
            return evidence.file, evidence.sheet, evidence.row, evidence.column, path, self._record
        line = self._lines.pop() if self._lines else self._line
        return self._file, "", line, -1, f"{self._before}/{path}", self._record


def _type(stated: Text | None, kind: str) -> Row:
    """The relation's folded type, that of its inverse ("" where none is published), and as it was written."""
    said = stated.text if stated else "relation"
    key = plain_key(said)
    return key, _inverses(kind).get(key, ""), said


@cache
def _inverses(kind: str) -> dict[str, str]:
    return inverses(f"{kind}-relations")


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
    texts = [value.text for value in (node.physical, node.digital, node.media_type, node.location) if value is not None]
    return "|".join(texts + [value.text for value in (*node.generations, *node.dates)])
