"""The crosswalk tables: held against the published mapping row by row, their losses against what is written, and what
a house may do to them."""

from __future__ import annotations

import csv
import re
from pathlib import Path
from typing import Any

import pytest

from crosswalk.errors import MappingError
from crosswalk.records import (
    LEVELS,
    Asset,
    Coverage,
    DateText,
    Identifier,
    Instantiation,
    Node,
    Plain,
    Publisher,
    Record,
    Text,
    TimedText,
    Title,
    shape,
)
from crosswalk.standards import dcterms, dublin_core, oai
from crosswalk.standards.base import Loss, Lost, Standard, WriteOptions
from crosswalk.standards.rdf.names import published
from crosswalk.standards.rdf.write import table as rdf_table
from crosswalk.standards.tables.flat import Flat
from crosswalk.standards.tables.forms import FLAT
from crosswalk.standards.tables.losses import Losses, count_losses, tally
from crosswalk.standards.tables.paths import all_paths, resolve
from crosswalk.standards.tables.reverse import Reverse
from crosswalk.standards.tables.table import Rule, Table, as_tuple
from tests.contracts.maximal import maximal
from tests.standards.both_ways import ABSENT, PUBLISHED, written

DATA = Path(__file__).parents[1] / "data" / "crosswalk" / "published-mapping.tsv"
TABLES = {"oai_dc": dublin_core.FORMAT.table(), "dcterms": dcterms.FORMAT.table()}
FLATS: dict[str, Standard] = {
    "oai_dc": dublin_core.STANDARD, "dcterms": dcterms.STANDARD, "oai_static": oai.STANDARDS[0],
    "oai_pages": oai.STANDARDS[1],
}  # fmt: skip
# DCMI Metadata Terms: rdfs:subPropertyOf, for the terms that the tables use. `test_refinements_are_published` checks.
REFINES = {
    "dcterms:alternative": "dcterms:title", "dcterms:abstract": "dcterms:description",
    "dcterms:tableOfContents": "dcterms:description", "dcterms:created": "dcterms:date",
    "dcterms:issued": "dcterms:date", "dcterms:available": "dcterms:date", "dcterms:modified": "dcterms:date",
    "dcterms:dateAccepted": "dcterms:date", "dcterms:dateCopyrighted": "dcterms:date", "dcterms:valid": "dcterms:date",
    "dcterms:isPartOf": "dcterms:relation", "dcterms:hasPart": "dcterms:relation",
    "dcterms:isVersionOf": "dcterms:relation", "dcterms:hasVersion": "dcterms:relation",
    "dcterms:isFormatOf": "dcterms:relation", "dcterms:hasFormat": "dcterms:relation",
    "dcterms:isReplacedBy": "dcterms:relation", "dcterms:replaces": "dcterms:relation",
    "dcterms:isReferencedBy": "dcterms:relation", "dcterms:references": "dcterms:relation",
    "dcterms:isRequiredBy": "dcterms:relation", "dcterms:requires": "dcterms:relation",
    "dcterms:medium": "dcterms:format", "dcterms:extent": "dcterms:format", "dcterms:spatial": "dcterms:coverage",
    "dcterms:temporal": "dcterms:coverage", "dcterms:license": "dcterms:rights",
    "dcterms:accessRights": "dcterms:rights",
}  # fmt: skip


def rows() -> list[tuple[str, str, str]]:
    lines = DATA.read_text(encoding="utf-8").splitlines()
    cells = [(*line.split("\t"), "", "")[:3] for line in lines if not line.startswith("#")]
    return [(element, simple, terms) for element, simple, terms in cells]


def paths_of(element: str) -> list[str]:
    """The places of the model that an element of the published table stands at (it misspells one of them)."""
    element = {"instantiationIdentifer": "instantiationIdentifier"}.get(element, element)
    places = [place for path in all_paths() if (place := resolve(path)) is not None and place.chain]
    return [place.path for place in places if place.chain[-1].element == element]


def rules_of(target: str, element: str) -> list[Rule]:
    return [rule for rule in TABLES[target].rule if rule.from_ in paths_of(element) and rule.to]


@pytest.mark.parametrize("target", TABLES)
@pytest.mark.parametrize(("element", "simple", "terms"), rows(), ids=[row[0] for row in rows()])
def test_the_published_mapping_is_honoured(target: str, element: str, simple: str, terms: str) -> None:
    """Source: PBCore website, mapping of PBCore 2.1 to Dublin Core 1.1 and DCMI terms."""
    assert paths_of(element) or element == "pbcoreDescriptionDocument"
    wanted = set((simple if target == "oai_dc" else terms).split())
    if element == "coverageType":  # it chooses the term for the text beside it
        chosen = {rule.to for rule in rules_of(target, "coverage") if "coverage-type" in rule.when}
        assert chosen == wanted
        return
    rules = rules_of(target, element)
    assert bool(rules) or not wanted, "a published row that no rule follows"
    for rule in rules:
        follows = rule.to in wanted or REFINES.get(rule.to) in wanted
        assert follows != bool(rule.departs), f"{rule.to} {'follows, yet departs' if follows else 'departs in silence'}"
        assert not rule.departs or rule.source, "a departure names its source"


@pytest.mark.parametrize("target", TABLES)
def test_every_published_row_has_a_rule_for_any_value(target: str) -> None:
    """A row is not honoured if only some values follow it."""
    for element, simple, terms in rows():
        wanted = simple if target == "oai_dc" else terms
        if wanted and element != "coverageType":
            assert any(not rule.when and not rule.begins for rule in rules_of(target, element)), element


@pytest.mark.skipif(not PUBLISHED.is_dir(), reason=ABSENT)
def test_the_recorded_rows_are_the_published_ones() -> None:
    with (PUBLISHED / "pbcore-to-dublin-core.csv").open(encoding="utf-8", newline="") as file:
        found = [(row["pbcore element"], row["dc 1.1"], row["dcterms"]) for row in csv.DictReader(file)]
    tidy = [(a, b.replace(" [see note]", ""), " ".join(re.findall(r"dcterms:\w+", c))) for a, b, c in found]
    assert tidy == rows()


@pytest.mark.skipif(not PUBLISHED.is_dir(), reason=ABSENT)
def test_refinements_are_published() -> None:
    from rdflib import RDFS, Graph, URIRef

    graph = Graph().parse(PUBLISHED / "dc" / "dublin_core_terms.ttl")
    for narrow, broad in REFINES.items():
        pair = [URIRef(name.replace("dcterms:", "http://purl.org/dc/terms/")) for name in (narrow, broad)]
        assert (pair[0], RDFS.subPropertyOf, pair[1]) in graph, narrow


@pytest.mark.parametrize("table", [*TABLES.values(), rdf_table()], ids=lambda table: table.target)
def test_no_row_is_dead(table: Table) -> None:
    """Two rows with the same place and condition: the second would never be reached."""
    seen: set[tuple[Any, ...]] = set()
    for rule in table.rule:
        if rule.extra:
            continue
        key = (rule.from_, rule.about, rule.begins, tuple(sorted((k, as_tuple(v)) for k, v in rule.when.items())))
        assert key not in seen, key
        seen.add(key)
        earlier = [k for k in seen if k[:2] == key[:2] and k != key]
        assert not [k for k in earlier if not k[2] and not k[3]], f"{rule.from_}: a row before this one fits everything"


# Losses


def told(standard: Standard, *records: Record) -> list[Lost]:
    found: list[Lost] = []
    written(standard, *records, on_loss=found.append)
    return found


@pytest.mark.parametrize("name", FLATS)
def test_declared_losses_are_exactly_those_of_the_maximal_record(name: str) -> None:
    found = {(lost.field, lost.carried) for lost in told(FLATS[name], maximal(Asset)) if lost.carried != "whole"}
    assert found == {(loss.field, loss.carried) for loss in FLATS[name].losses}


def leaves(record: Node) -> int:
    """How many values with a text or XML of their own a record holds, parts counted as one, by a walk of its own."""
    total = 0
    for child in shape(record.__class__).children:
        value = getattr(record, child.field)
        for node in value if child.many else (value,) if value is not None else ():
            whole = child.path == "part" or shape(child.cls).content != "children"
            total += 1 if whole else leaves(node)
    return total


def test_every_value_is_told_of_once() -> None:
    record = maximal(Asset)
    assert sum("@" not in lost.field for lost in told(dcterms.STANDARD, record)) == leaves(record)


@pytest.mark.parametrize("target", TABLES)
def test_what_is_said_to_be_carried_stands_in_the_document(target: str) -> None:
    """The document is asked, not the table."""
    from lxml import etree

    record = maximal(Asset)
    (document,) = written(FLATS[target], record)
    texts = "\n".join(str(element.text) for element in etree.fromstring(document.content).iter())
    for lost in told(FLATS[target], record):
        if "@" in lost.field or lost.field.endswith(("media-type", "language", "coverage-type", "relation-type")):
            continue  # written in another form, or as the name of the property
        if lost.carried != "none" or "&" in lost.value:  # a text of its own, so that it can be looked for
            assert (lost.value in texts) == (lost.carried != "none"), lost


@pytest.mark.parametrize("target", TABLES)
def test_what_is_carried_whole_reads_back_equal(target: str) -> None:
    kind = Plain("Spatial") if target == "dcterms" else None
    record = Asset(
        titles=(Title("Tideline"),),
        dates=(DateText("1987-04"), DateText("1972/1980"), DateText("197X")),
        coverages=(Coverage(coverage=TimedText("Merrow Sound"), type=kind),),
    )
    assert {lost.carried for lost in told(FLATS[target], record)} == {"whole"}
    flat, reverse = Flat(TABLES[target], FLAT), Reverse(TABLES[target], FLAT)
    assert reverse.record(flat.statements(record), lambda *what: pytest.fail(str(what))) == record


def test_a_row_that_goes_is_a_loss_that_comes() -> None:
    """The declaration follows the table: it could not be right by chance."""
    table = TABLES["oai_dc"]
    without = Table(target="x", title="x", rule=tuple(rule for rule in table.rule if rule.from_ != "asset.title"))
    assert Loss("asset.title", "none", "the standard has no place for it") in Losses(without, FLAT).declared()
    assert "asset.title" not in {loss.field for loss in Losses(table, FLAT).declared() if loss.carried == "none"}


TYPES = {
    "a type that a term says": ("issued", "whole", ""),
    "a type that becomes another word": ("broadcast", "part", "dateType"),
    "a type without a term": ("dubbed", "part", "dateType"),
}


@pytest.mark.parametrize(("kind", "carried", "gone"), TYPES.values(), ids=TYPES.keys())
def test_a_type_is_carried_where_a_reader_gets_it_back(kind: str, carried: str, gone: str) -> None:
    (lost,) = told(dcterms.STANDARD, Asset(dates=(DateText("1987", date_type=kind),)))
    assert (lost.carried, lost.gone) == (carried, gone)


def test_counting_for_the_report() -> None:
    records = [Asset(titles=(Title("a"), Title("b", title_type="Series")), annotations=())] * 3
    (count,) = count_losses(dublin_core.STANDARD, records)
    assert (count.field, count.whole, count.part, count.none, count.gone) == ("asset.title", 3, 3, 0, ("titleType",))
    assert tally([]) == []


# Tables of a house


def house(folder: Path, text: str) -> str:
    path = folder / "own.toml"
    path.write_text(text, encoding="utf-8")
    return str(path)


HEAD = 'target = "oai_dc"\ntitle = "Merrow"\n'
WRONG: dict[str, tuple[str, int, str, str]] = {
    "a property that is none": ('[[rule]]\nfrom = "asset.title"\nto = "dc:titel"\n', 5, 'to = "dc:titel"', "dc:title"),
    "a property of another standard": (
        '[[rule]]\nfrom = "asset.title"\nto = "dcterms:title"\n', 5, 'to = "dcterms:title"', "dc:title",
    ),
    "a place that is none": ('[[rule]]\nfrom = "asset.tittle"\nto = "dc:title"\n', 4, "asset.tittle", "asset.title"),
    "a form that is none": (
        '[[rule]]\nfrom = "asset.date"\nto = "dc:date"\nform = "dates"\n', 6, 'form = "dates"', "date",
    ),
    "a condition that is none": (
        '[[rule]]\nfrom = "asset.title"\nto = "dc:title"\nwhen = { tittleType = "a" }\n', 6, "tittleType", "titleType",
    ),
    "a key that is none": ('[[rule]]\nfrom = "asset.title"\ntoo = "dc:title"\n', 5, "too", "to"),
    "no table": ('[[rule]\nfrom = "asset.title"\n', 3, "is not TOML", "mend"),
}  # fmt: skip


@pytest.mark.parametrize(("text", "line", "said", "near"), WRONG.values(), ids=WRONG.keys())
def test_a_mistake_is_said_with_file_line_key_and_near_names(
    tmp_path: Path, text: str, line: int, said: str, near: str
) -> None:
    path = house(tmp_path, HEAD + text)
    with pytest.raises(MappingError) as caught:
        written(dublin_core.STANDARD, Asset(), table=path)
    assert caught.value.place == (f"{path}:{line}" if line else path)
    assert said in caught.value.problem
    assert near in caught.value.next_step


def test_a_table_for_another_standard_is_refused(tmp_path: Path) -> None:
    path = house(tmp_path, HEAD)
    with pytest.raises(MappingError, match="for another standard"):
        written(dcterms.STANDARD, Asset(), table=path)


RECORD = Asset(
    identifiers=(Identifier("TDLN0423", source="Merrow"),),
    titles=(Title("Tideline", title_type="Series"), Title("Low water", title_type="Episode")),
    genres=(TimedText("Nature"),),
    publishers=(Publisher(roles=(Text("Presenter"),)),),
    instantiations=(Instantiation(location=Text("Vault 3")),),
)
OVERRIDES = {
    "a row in the place of a shipped one": (
        '[[rule]]\nfrom = "asset.title"\nto = "dc:relation"\n',
        ["dc:identifier TDLN0423", "dc:relation Tideline", "dc:relation Low water", "dc:type Nature"],
    ),
    "a row before the shipped one": (
        '[[rule]]\nfrom = "asset.title"\nto = "dc:relation"\nwhen = { titleType = "Series" }\n',
        ["dc:identifier TDLN0423", "dc:relation Tideline", "dc:title Low water", "dc:type Nature"],
    ),
    "a row that carries nothing": (
        '[[rule]]\nfrom = "asset.genre"\nto = ""\nnote = "we do not send genres"\n',
        ["dc:identifier TDLN0423", "dc:title Tideline", "dc:title Low water"],
    ),
    "a place that the shipped table leaves out": (
        '[[rule]]\nfrom = "instantiation.location"\nto = "dc:source"\n',
        ["dc:identifier TDLN0423", "dc:title Tideline", "dc:title Low water", "dc:type Nature", "dc:source Vault 3"],
    ),
}


@pytest.mark.parametrize(("text", "expected"), OVERRIDES.values(), ids=OVERRIDES.keys())
def test_a_house_overrides_rows(tmp_path: Path, text: str, expected: list[str]) -> None:
    (document,) = written(dublin_core.STANDARD, RECORD, table=house(tmp_path, HEAD + text))
    found = re.findall(r"<(dc:\w+)>([^<]*)<", document.content.decode())
    assert [" ".join(pair) for pair in found] == expected


def test_a_house_overrides_rdf_with_published_names_only(tmp_path: Path) -> None:
    path = house(tmp_path, 'target = "rdf"\ntitle = "x"\n[[rule]]\nfrom = "asset.genre"\nto = "ebucore:hasGenres"\n')
    with pytest.raises(MappingError, match="ebucore:hasGenres") as caught:
        rdf_table(path)
    assert "ebucore:hasGenre" in caught.value.next_step
    assert "ebucore:hasGenre" in published()


def test_levels_are_those_of_the_model() -> None:
    assert {path.split(".")[0] for path in all_paths()} == set(LEVELS)
    assert WriteOptions().table == ""
