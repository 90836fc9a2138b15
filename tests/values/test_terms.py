"""Words of published lists: the whole wording, the wording inside it, and what stays in doubt."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.values.reading import NO_CONTEXT, Context, How
from crosswalk.values.registry import parser
from crosswalk.vocabularies import load, names

BY_TERMS = {load(name).read: name for name in names() if load(name).read and name not in ("carriers", "languages")}
LISTS = {kind: name for kind, name in BY_TERMS.items() if kind not in ("file_format", "encoding", "rights")}


@pytest.mark.parametrize(
    "kind, text, value",
    [
        ("generation", "Master", "Master"),
        ("generation", "MASTER ", "Master"),
        ("generation", "sub-master", "Submaster"),
        ("generation", "Dub #2", "Dub"),
        ("generation", "Field tape", "Original footage"),
        ("generation", "preservation master file", "Preservation"),
        ("generation", "Kopie", "Copy"),
        ("generation", "cpy", "Copy"),
        ("generation", "interpositive", "Intermediate"),
        ("asset_type", "programme", "Program"),
        ("asset_type", "Ep.", "Episode"),
        ("date_type", "Original Air Date", "broadcast"),
        ("date_type", "Date Recorded", "created"),
        ("title_type", "series title", "Series"),
        ("description_type", "Synopsis", "Summary"),
        ("role", "exec. prod.", "Executive Producer"),
        ("role", "Kamera", "Camera Operator"),
        ("role", "hst", "Host"),
        ("publisher_role", "distributed by", "Distributor"),
        ("relation", "episode of", "Is Part Of"),
        ("instantiation_relation", "dubbed from", "Is Dub Of"),
        ("media_type", "film", "Moving Image"),
        ("media_type", "radio", "Audio"),
    ],
)
def test_wordings(kind: str, text: str, value: str) -> None:
    reading = parser(kind)(text, NO_CONTEXT)
    assert (reading.value, reading.settled) == (value, True)


@pytest.mark.parametrize(
    "kind, term", [(kind, entry.name) for kind, name in LISTS.items() for entry in load(name).term]
)
def test_a_published_term_is_itself(kind: str, term: str) -> None:
    reading = parser(kind)(term, NO_CONTEXT)
    assert (reading.value, reading.how, reading.doubts) == (term, How.EXACT, ())


@pytest.mark.parametrize(
    "kind, text, code, suggested",
    [
        ("generation", "Master; Dub", "VO02", ("Master", "Dub")),
        ("generation", "submastr", "VO01", ("Submaster",)),
        ("generation", "zzz", "VO01", ()),
        ("generation", "", "VO03", ()),
        ("generation", "???", "VO03", ()),
        ("generation", "x " * 300, "VO03", ()),
        ("generation", "a master once, but flooded and since thrown away", "VO04", ("Master",)),
    ],
)
def test_doubts(kind: str, text: str, code: str, suggested: tuple[str, ...]) -> None:
    reading = parser(kind)(text, NO_CONTEXT)
    assert [doubt.code for doubt in reading.doubts] == [code]
    assert reading.doubts[0].suggestions == suggested


@pytest.mark.parametrize(
    "text, value, also",
    [
        ("copy for Mrs Dray", "Copy", [("note", "for Mrs Dray")]),
        ("master, faulty audio from 10'", "Master", [("note", "faulty audio from 10'")]),
        ("work print, incomplete", "Work print", [("note", "incomplete")]),
        ("Nitrate neg.", "Negative", [("note", "Nitrate")]),
        ("neg (nitrate)", "Negative", [("note", "nitrate")]),
        ("viewing copy", "Copy", [("wording", "viewing copy")]),
        ("mag stripe", "Magnetic track", [("wording", "mag stripe")]),
        ("commag", "Magnetic track", [("wording", "commag")]),
        ("sepmag", "Magnetic track", [("wording", "sepmag")]),
        ("Viewing copy (for Mrs Dray)", "Copy", [("wording", "Viewing copy"), ("note", "for Mrs Dray")]),
        ("Kopie für Frau Öst", "Copy", [("note", "für Frau Öst")]),
        ("Dub #2", "Dub", [("note", "#2")]),
        ("copy", "Copy", []),
        ("master generation", "Master", []),
        ("Kopie", "Copy", []),
    ],
)
def test_what_a_generation_says_besides(text: str, value: str, also: list[tuple[str, str]]) -> None:
    reading = parser("generation")(text, NO_CONTEXT)
    assert (reading.value, reading.settled, list(reading.also)) == (value, True, also)


@pytest.mark.parametrize("name", LISTS.values())
def test_a_narrower_wording_is_an_alias(name: str) -> None:
    for entry in load(name).term:
        assert set(entry.narrower) <= set(entry.aliases)


def test_a_house_adds_its_wordings(tmp_path: object) -> None:
    path = f"{tmp_path}/house.toml"
    with open(path, "w", encoding="utf-8") as file:  # noqa: PTH123
        file.write('vocabulary = "generations"\n[aliases]\n"Submaster" = ["yellow label"]\n')
    context = Context(house_files=(path,))
    assert parser("generation")("yellow label", context).value == "Submaster"
    assert parser("generation")("yellow label", NO_CONTEXT).value is None


@given(st.sampled_from(sorted(BY_TERMS)), st.text(max_size=500))
def test_any_text_gives_a_published_term_or_a_doubt(kind: str, text: str) -> None:
    reading = parser(kind)(text, NO_CONTEXT)
    assert (reading.value is None) == (reading.how is How.UNREAD)
    assert reading.value is not None or reading.doubts
    if kind in LISTS:
        assert reading.value is None or reading.value in load(LISTS[kind]).by_name
