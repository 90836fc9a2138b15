"""Speed of RDF and Dublin Core, as ratios in one run. Usage: python tests/benchmarks/bench_rdf.py [RECORDS [ROUNDS]]

Prints, for N-Triples and Turtle: our writer against building an rdflib graph of the same statements and serialising it,
and against building pyoxigraph's terms and serialising them; the memory that 100,000 records take beside 10,000; and
Dublin Core XML against PBCore XML. All start from the same records. Ratios travel between machines, seconds do not.
"""

from __future__ import annotations

import gc
import subprocess
import sys
from collections.abc import Callable, Iterator
from functools import partial
from itertools import islice
from pathlib import Path
from statistics import median
from time import process_time
from typing import Any

import msgspec

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from crosswalk.records import (
    AgentName,
    Annotation,
    Asset,
    AssetRelation,
    Contributor,
    ContributorRole,
    Coverage,
    Creator,
    DateText,
    Description,
    EssenceTrack,
    Identifier,
    Instantiation,
    Language,
    Link,
    Measure,
    Plain,
    Publisher,
    Record,
    Rights,
    Standard,
    Subject,
    Text,
    TimedText,
    Title,
)
from crosswalk.standards.base import WriteOptions, standards
from crosswalk.standards.rdf.names import full
from crosswalk.standards.rdf.write import Blocks

OPTIONS = WriteOptions()
HOLDER = "Merrow Coast Public Media"


def carrier(number: int, copy: int) -> Instantiation:
    """A tape, or a file of it."""
    tape = copy == 0
    track = EssenceTrack(type=Text("Video"), encoding=Text("FFV1"), frame_rate=Measure("25", units_of_measure="fps"))
    return Instantiation(
        identifiers=(Identifier(f"{number:06}-{copy}", source="Merrow shelf number"),),
        dates=(DateText("1987-04-03", date_type="created"),),
        physical=Text("U-matic") if tape else None,
        digital=None if tape else Text("video/mp4"),
        standard=Standard("PAL"),
        location=Text("Vault 3, shelf 12"),
        media_type=Text("Moving Image"),
        generations=(Text("Master"),),
        file_size=None if tape else Measure("12345678", units_of_measure="bytes"),
        duration=Text("00:58:30"),
        colors=Text("Color"),
        tracks=Text("1 video, 2 audio"),
        languages=(Language("eng"),),
        essence_tracks=() if tape else (track,),
        annotations=(Annotation("digitised", annotation_type="status"),),
    )


def episode(number: int) -> Asset:
    """A record of about sixty elements and two and a half instantiations."""
    return Asset(
        asset_types=(Text("Episode"),),
        dates=(DateText("1987-04-03", date_type="broadcast"), DateText("1987", date_type="created")),
        identifiers=(Identifier(f"TDLN{number:06}", source=HOLDER),),
        titles=(Title("Tideline", title_type="Series"), Title(f"The outer bank, {number}", title_type="Episode")),
        subjects=tuple(Subject(text, source="house list") for text in ("salt marsh", "waders", "tides")),
        descriptions=(
            Description(f"Low water at bank {number} & what the wardens count.", description_type="Summary"),
        ),
        genres=(TimedText("Nature"),),
        relations=(AssetRelation(type=Text("Is Part Of"), identifier=Text("TDLN-S4")),),
        coverages=(Coverage(coverage=TimedText("Merrow Sound"), type=Plain("Spatial")),),
        creators=(Creator(creator=AgentName("Fenn, Orla"), roles=(Text("Producer"),)),),
        contributors=tuple(
            Contributor(contributor=AgentName(name), roles=(ContributorRole(role),))
            for name, role in (("Marsh, Ivo", "Host"), ("Vale, Una", "Camera Operator"))
        ),
        publishers=(Publisher(publisher=AgentName(HOLDER), roles=(Text("Distributor"),)),),
        rights=(Rights(summary=Text("Cleared")), Rights(link=Link("http://rightsstatements.org/vocab/InC/1.0/"))),
        instantiations=tuple(carrier(number, copy) for copy in range(2 + number % 2)),
    )


def stream(count: int) -> Iterator[Record]:
    """Records one after the other, made cheaply from a few; identifiers, titles and prose are each record's own."""
    few = [episode(number) for number in range(100)]
    for number in range(count):
        yield msgspec.structs.replace(
            few[number % 100],
            identifiers=(Identifier(f"TDLN{number:07}", source=HOLDER),),
            titles=(Title("Tideline", title_type="Series"), Title(f"The outer bank, {number}", title_type="Episode")),
            descriptions=(
                Description(f"Low water at bank {number} & what the wardens count.", description_type="Summary"),
            ),
        )


def run(name: str, records: Any) -> int:
    """Writes the records in a standard, and drops the documents; the number of bytes."""
    write = standards()[name].write
    assert write is not None
    return sum(len(document.content) for document in write(records, OPTIONS))


def by_rdflib(records: list[Record], format_: str) -> int:
    """A graph of the same statements, serialised."""
    from rdflib import BNode, Graph, Literal, URIRef

    graph = Graph()
    for about, name, text, kind in statements(records):
        if kind == "@id":
            value: Any = BNode(text[2:]) if text[0] == "_" else URIRef(full(text) if name == "rdf:type" else text)
        else:
            value = Literal(text, datatype=URIRef(full(kind)) if kind else None)
        graph.add((URIRef(about), URIRef(full(name)), value))
    return len(graph.serialize(format=format_, encoding="utf-8"))


def terms(records: list[Record]) -> Iterator[Any]:
    """The statements as pyoxigraph's terms; property names are made once."""
    import pyoxigraph as ox

    names: dict[str, Any] = {}
    for about, name, text, kind in statements(records):
        if name not in names:
            names[name] = ox.NamedNode(full(name))
        if kind == "@id":
            value: Any = ox.NamedNode(full(text) if name == "rdf:type" else text)
        else:
            value = ox.Literal(text, datatype=ox.NamedNode(full(kind))) if kind else ox.Literal(text)
        yield ox.Triple(ox.NamedNode(about), names[name], value)


def by_pyoxigraph(records: list[Record], format_: str) -> int:
    """The same statements through pyoxigraph's serialiser."""
    import pyoxigraph as ox

    return len(ox.serialize(terms(records), format=getattr(ox.RdfFormat, format_)) or b"")


def statements(records: list[Record]) -> Iterator[tuple[str, str, str, str]]:
    """Subject, property, text, kind: what our own serialisers are given, too."""
    for about, pairs in Blocks(OPTIONS).of(records).blocks:
        each = iter(pairs)
        for name, text, kind in zip(each, each, each, strict=True):
            yield about, name, text, kind


def ratios(rounds: int, ours: Callable[[], object], *others: Callable[[], object]) -> list[float]:
    """How many times as long as ours each of the others takes: the median over rounds in which each has its turn, so
    that a busy machine is busy for all. Processor time, without the collector of cycles, whose bill goes to the last.
    """
    found: list[list[float]] = [[] for _ in others]
    for _ in range(rounds):
        first = seconds(ours)
        for results, other in zip(found, others, strict=True):
            results.append(seconds(other) / first)
    return [median(results) for results in found]


def seconds(work: Callable[[], object]) -> float:
    """The processor time of one run."""
    gc.collect()
    gc.disable()
    start = process_time()
    work()
    taken = process_time() - start
    gc.enable()
    return taken


def peak_mb(count: int, name: str) -> float:
    """The most memory that a process of its own took for so many records."""
    start = f"import sys; sys.path[:0] = {sys.path[:1]!r}\n"
    code = f"{start}from tests.benchmarks.bench_rdf import alone\nalone({count}, {name!r})"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return float(done.stdout)


def alone(count: int, name: str) -> None:
    """For `peak_mb`."""
    run(name, stream(count))
    # what getrusage says includes the process that started this one
    lines = Path("/proc/self/status").read_text(encoding="utf-8").splitlines()
    print(next(int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM")))


def main(count: int = 1000, rounds: int = 5) -> None:
    """Prints the ratios. rdflib has a third of the records, since it takes its time; it gets slower with more."""
    records = list(islice(stream(count), count))
    third = records[: count // 3]
    number = sum(1 for _ in statements(records))
    print(f"{count} records, {number / count:.0f} statements each; medians of {rounds} rounds, processor time")
    for name, theirs, oxi in (("n_triples", "nt", "N_TRIPLES"), ("turtle", "turtle", "TURTLE")):
        rdflib, other = ratios(
            rounds,
            partial(run, name, records),
            partial(by_rdflib, third, theirs),
            partial(by_pyoxigraph, records, oxi),
        )
        print(f"{name}: {number / seconds(partial(run, name, records)):,.0f} statements a second")
        print(f"  rdflib, build and serialise, takes {rdflib * count / len(third):.1f} times as long (floor: 10)")
        print(f"  pyoxigraph, build and serialise, takes {other:.2f} times as long (floor: 1)")
    names = ("oai_dc", "dcterms")
    found = ratios(rounds * 3, lambda: run("pbcore", records), *(partial(run, name, records) for name in names))
    for name, ratio in zip(names, found, strict=True):
        print(f"{name}: {ratio:.2f} of the time of PBCore XML a record (ceiling: 1)")
    small, large = peak_mb(10_000, "n_triples"), peak_mb(100_000, "n_triples")
    grows = (large - small) * 1024 / 90_000
    print(f"memory for 100,000 records {large:.0f} MB, for 10,000 {small:.0f} MB: {grows:.2f} kB a record more")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
