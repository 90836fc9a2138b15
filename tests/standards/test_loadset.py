"""The load set: folders, files, digests, and an index with the columns of a house's template."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from crosswalk.errors import MappingError
from crosswalk.records import AgentName, Annotation, Asset, Creator, Identifier, Instantiation, Text, Title
from crosswalk.standards.base import WriteOptions
from crosswalk.standards.loadset import write

MD5 = "9e107d9d372bb6826bd81d3542a419d6"
SHA = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
ASSET = Asset(
    identifiers=(Identifier("TDLN/0423", source="Merrow"),),
    titles=(Title("Tideline", title_type="Series"), Title("=Waders", title_type="Episode")),
    creators=(Creator(creator=AgentName("Oxley, Ruth"), roles=(Text("Producer"),)),),
    instantiations=(
        Instantiation(identifiers=(Identifier("0117", source="shelf"),), physical=Text("U-matic")),
        Instantiation(
            identifiers=(Identifier("K-1", source="laboratory"), Identifier("0117_pm.mov", source="File name")),
            digital=Text("video/quicktime"),
            annotations=(Annotation(MD5.upper(), annotation_type="MD5 checksum"),),
        ),
        Instantiation(
            identifiers=(Identifier("0117_a.mp4", source="shelf"), Identifier(SHA, source="SHA-256")),
            digital=Text("video/mp4"),
        ),
    ),
)
TEMPLATE = """
file = "load.txt"
delimiter = ";"
row = "file"
[[column]]
heading = "Programme"
from = "asset.title"
where = { titleType = "Series" }
[[column]]
heading = "Kinds"
from = "asset.title@titleType"
join = "+"
[[column]]
heading = "Maker"
from = "asset.creator"
[[column]]
heading = "Carriers"
from = "instantiation.physical"
[[column]]
heading = "File"
from = "file.name"
[[column]]
heading = "Digest"
from = "file.digest"
[[column]]
heading = "Status"
value = "new"
"""


def test_a_folder_a_record_and_an_index_at_the_end() -> None:
    documents = list(write([ASSET, ASSET], WriteOptions()))
    names = [document.name for document in documents]
    assert names == [
        "TDLN_0423/pbcore.xml", "TDLN_0423/oai_dc.xml", "TDLN_0423/files.csv",
        "TDLN_0423-2/pbcore.xml", "TDLN_0423-2/oai_dc.xml", "TDLN_0423-2/files.csv", "index.csv",
    ]  # fmt: skip
    assert documents[2].content.decode().splitlines() == [
        "name,algorithm,digest", f"0117_pm.mov,md5,{MD5}", f"0117_a.mp4,sha-256,{SHA}",
    ]  # fmt: skip
    assert [document.records for document in documents[:2]] == [("TDLN/0423",), ()]


def test_the_index_has_the_columns_of_the_template(tmp_path: Path) -> None:
    (tmp_path / "t.toml").write_text(TEMPLATE)
    *_, index = write([ASSET], WriteOptions(template=str(tmp_path / "t.toml")))
    assert index.name == "load.txt"
    table = list(csv.reader(io.StringIO(index.content.decode()), delimiter=";"))
    assert table == [
        ["Programme", "Kinds", "Maker", "Carriers", "File", "Digest", "Status"],
        ["Tideline", "Series+Episode", "Oxley, Ruth", "U-matic", "0117_pm.mov", MD5, "new"],
        ["Tideline", "Series+Episode", "Oxley, Ruth", "U-matic", "0117_a.mp4", SHA, "new"],
    ]


def test_no_cell_of_the_index_is_a_formula() -> None:
    asset = Asset(titles=(Title("=Waders"),))
    *_, index = write([asset], WriteOptions())
    assert b",'=Waders," in index.content


@pytest.mark.parametrize(
    ("text", "said"),
    [
        pytest.param("[[column]]\nheading = 'a'\nfrom = 'asset.titel'\n", ":3: 'asset.titel' is no place", id="place"),
        pytest.param("[[column]]\nheading = 'a'\n", ":2: 'a' needs `from` or `value`", id="neither"),
        pytest.param("[[column]]\nheading = 'a'\nfro = 'b'\n", ":3: unknown key `fro`", id="key"),
        pytest.param("row = 'carrier'\ncolumn = []\n", ":1: ", id="row"),
    ],
)
def test_a_template_that_makes_no_sense_is_refused(tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "t.toml").write_text(text)
    with pytest.raises(MappingError, match="t.toml" + said):
        list(write([ASSET], WriteOptions(template=str(tmp_path / "t.toml"))))
