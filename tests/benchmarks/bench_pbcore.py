"""Costs of PBCore as ratios within one run: `python -m tests.benchmarks.bench_pbcore [RECORDS]`.

- reading: our records from a collection, against lxml's bare iterparse with clearing over the same file (at most 3);
- writing: records to bytes, against building the same trees with lxml and serialising them (at least 3 times as fast);
  lxml is given the trees as ready tuples, so that it pays for nothing but building and printing;
- memory: the peak of reading and writing again 10,000 records, and RECORDS (200,000 unless given), each in a process of
  its own (at most 20 MB apart); on Linux, which tells a process its own peak.

CPU time of this process, medians of rounds in which the contestants take turns.
"""

from __future__ import annotations

import gzip
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from statistics import median
from typing import Any

from lxml import etree

from crosswalk.records import (
    NAMESPACE,
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
    Measure,
    Node,
    Plain,
    Publisher,
    Rights,
    Subject,
    Text,
    TimedText,
    Title,
    shape,
)
from crosswalk.standards.base import ReadOptions, WriteOptions
from crosswalk.standards.pbcore import STANDARD, write_record

ROUNDS, RECORDS, FEW, MANY = 7, 3_000, 10_000, 200_000
WORDS = ("salt", "marsh", "waders", "tide", "harbour", "boats", "lamp", "rope", "kiln & clay", "sails", "<net>", "bell")
CARRIERS = ("U-matic", "Betacam SP", "1 inch videotape: SMPTE Type C")
BATCH, RECORD, END = 500, b"  <pbcoreDescriptionDocument>", b"</pbcoreCollection>\n"
RECORD_TAG = f"{{{NAMESPACE}}}pbcoreDescriptionDocument"
Tree = tuple[str, dict[str, str], str | None, list[Any]]


def asset(number: int) -> Asset:
    """A record of about 65 elements with 2.5 carriers, 4.5 kB of XML."""
    chance = random.Random(number)

    def words(count: int) -> str:
        return " ".join(chance.choice(WORDS) for _ in range(count))

    return Asset(
        asset_types=(Text("Episode"),),
        dates=(DateText(f"19{chance.randint(60, 99)}", date_type="broadcast"),),
        identifiers=(
            Identifier(f"TDLN{number:06d}", source="Merrow number"),
            Identifier(str(number), source="database"),
        ),
        titles=(Title("Tideline", title_type="Series"), Title(words(4), title_type="Episode"), Title(str(number))),
        subjects=tuple(Subject(words(2), source="house list") for _ in range(4)),
        descriptions=(Description(words(40), description_type="Summary"),),
        genres=(TimedText("Documentary", source="PBCore pbcoreGenre"),),
        relations=(AssetRelation(type=Text("Is Part Of"), identifier=Text("TDLN")),),
        coverages=(Coverage(coverage=TimedText("Merrow Sound"), type=Plain("Spatial")),),
        creators=(Creator(creator=AgentName("Oxley, Ruth"), roles=(Text("Producer"),)),),
        contributors=(Contributor(contributor=AgentName("Penhale, Jory"), roles=(ContributorRole("Host"),)),),
        publishers=(Publisher(publisher=AgentName("Merrow Coast Public Media"), roles=(Text("Distributor"),)),),
        rights=(Rights(summary=Text("In copyright")),),
        instantiations=tuple(_carrier(chance, number, copy, words(6)) for copy in range(2 + number % 2)),
    )


def _carrier(chance: random.Random, number: int, copy: int, note: str) -> Instantiation:
    kinds = ("Video", "Audio") if copy == 1 else ()
    rate = Measure("50", units_of_measure="Mb/s")
    tracks = tuple(EssenceTrack(type=Text(kind), encoding=Text("MPEG-2"), data_rate=rate) for kind in kinds)
    return Instantiation(
        identifiers=(Identifier(f"MCV-{number:06d}-{copy}", source="Merrow shelf number"),),
        dates=(DateText(f"19{chance.randint(60, 99)}-03-0{chance.randint(1, 9)}", date_type="created"),),
        physical=Text(
            chance.choice(CARRIERS), source="PBCore instantiationPhysical", ref="https://example.org/physical"
        ),
        location=Text(f"Merrow vault, bay {chance.randint(1, 40)}"),
        media_type=Text("Moving Image", source="PBCore instantiationMediaType"),
        generations=(Text("Master", source="PBCore instantiationGenerations"),),
        duration=Text(f"00:{chance.randint(0, 59):02d}:{chance.randint(0, 59):02d}"),
        colors=Text("Color"),
        tracks=Text("1 video, 2 audio"),
        languages=(Language("eng"),),
        essence_tracks=tracks,
        annotations=(Annotation(note, annotation_type="condition"),),
    )


def tree_of(node: Node, element: str) -> Tree:
    """A node as tag, attributes, text and children: all that lxml needs to build it."""
    form = shape(type(node))
    attributes = {a.name: value for a in form.attributes if (value := getattr(node, a.field)) is not None}
    children: list[Tree] = []
    for child in form.children:
        value = getattr(node, child.field)
        values = value if child.many else () if value is None else (value,)
        children += [tree_of(each, child.element) for each in values]
    return f"{{{NAMESPACE}}}{element}", attributes, getattr(node, "text", None), children


def built_by_lxml(tree: Tree) -> bytes:
    """The document of a tree, as one writes it by hand with lxml."""

    def grow(parent: etree._Element, children: list[Tree]) -> None:
        for tag, attributes, text, inner in children:
            element = etree.SubElement(parent, tag, attributes)
            element.text = text
            if inner:
                grow(element, inner)

    names: Any = {None: NAMESPACE}
    root = etree.Element(tree[0], tree[1], nsmap=names)
    grow(root, tree[3])
    return etree.tostring(root, xml_declaration=True, encoding="UTF-8", pretty_print=True)


def bare(path: Path) -> int:
    """Reading without looking: what no reader that builds on lxml can undercut."""
    count = 0
    for _, element in etree.iterparse(str(path), tag=RECORD_TAG):
        count += 1
        element.clear()
        parent = element.getparent()
        while parent is not None and element.getprevious() is not None:
            del parent[0]
    return count


def ours(path: Path) -> int:
    """Reading into records."""
    assert STANDARD.read is not None
    return sum(1 for _ in STANDARD.read(path, ReadOptions()))


def turns(*contestants: Callable[[], object]) -> list[float]:
    """The median CPU seconds of each, in rounds in which they take turns."""
    times: list[list[float]] = [[] for _ in contestants]
    for _ in range(ROUNDS):
        for place, contestant in enumerate(contestants):
            start = time.process_time()
            contestant()
            times[place].append(time.process_time() - start)
    return [median(each) for each in times]


def collection(count: int) -> Iterator[bytes]:
    """A collection of any size, piece by piece; the records repeat after 10,000."""
    head = batch(0).partition(RECORD)[0]
    yield head
    for start in range(0, count, BATCH):
        yield batch(start % FEW).removeprefix(head).removesuffix(END)
    yield END


@cache
def batch(start: int) -> bytes:
    """A collection of 500 records."""
    assert STANDARD.write is not None
    (document,) = STANDARD.write((asset(start + number) for number in range(BATCH)), WriteOptions(batch=BATCH))
    return document.content


PEAK = """
import sys
from pathlib import Path
from crosswalk.standards.base import ReadOptions, WriteOptions
from crosswalk.standards.pbcore import STANDARD
records = STANDARD.read(Path(sys.argv[1]), ReadOptions())
size = sum(len(document.records) for document in STANDARD.write(records, WriteOptions()))
status = Path("/proc/self/status").read_text()  # getrusage would count the parent's memory before the exec
print(size, int(status.split("VmHWM:")[1].split()[0]) / 1024)
"""


def peak_mb(path: Path) -> tuple[int, float]:
    """Records read and written again in a process of its own, and its peak memory in MB."""
    said = subprocess.run([sys.executable, "-c", PEAK, str(path)], capture_output=True, text=True, check=True).stdout
    count, peak = said.split()
    return int(count), float(peak)


def main(many: int = MANY) -> None:
    """Measures and prints."""
    records = [asset(number) for number in range(RECORDS)]
    trees = [tree_of(record, "pbcoreDescriptionDocument") for record in records]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "collection.xml"
        path.write_bytes(b"".join(collection(RECORDS)))
        floor, reading = turns(lambda: bare(path), lambda: ours(path))
        print(f"reading: {reading / floor:.2f} times bare iterparse ({RECORDS / reading:,.0f} records a second of CPU)")
        lxml, writing = turns(lambda: list(map(built_by_lxml, trees)), lambda: list(map(write_record, records)))
        print(f"writing: {lxml / writing:.2f} times as fast as lxml ({RECORDS / writing:,.0f} records a second of CPU)")
        peaks = []
        for count in (FEW, many):
            packed = Path(folder) / f"{count}.xml.gz"
            with gzip.open(packed, "wb", compresslevel=1) as file:
                file.writelines(collection(count))
            read, peak = peak_mb(packed)
            peaks.append(peak)
            print(f"memory: {peak:.1f} MB at the peak for {read:,} records read and written")
        print(f"memory: {peaks[1] - peaks[0]:+.1f} MB between them")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
