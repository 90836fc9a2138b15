"""Carriers: invented wordings with their answers, facts of the trade, and properties held by any text.

The answers of carrier_wordings.csv are common practice, no source; an empty one means that a person must look.
"""

from __future__ import annotations

import csv
import tomllib
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.resources import resource
from crosswalk.values.carriers import _Reader, _Shape, read_carrier
from crosswalk.values.carriers_grammar import Rule, grammar
from crosswalk.values.carriers_mend import mended
from crosswalk.values.carriers_tokens import pieces, typed_pieces
from crosswalk.values.reading import NO_CONTEXT, Context, How, Reading
from crosswalk.vocabularies import load
from tests.search import examples

DATA = Path(__file__).parents[1] / "data" / "carrier_wordings.csv"
with DATA.open(encoding="utf-8", newline="") as file:
    WORDINGS = [(row["wording"], row["carrier"]) for row in csv.DictReader(file)]

# What differs freely from wording to wording, and what looks like it but tells something.
BETWEEN = (
    "", "7", "12", "13", "007", "100", "0012", "123", "264", "2000", "14285", "2 of 3", "58:30", "16:09", "1:02:03",
    "0 min", "5 s", "78 s", "100 s", "12.5 min", "60 min", "x2", "12x", "2x", "7in", '16"', "38 cm/s", "kqwer", "zzyxo",
    "bct", "no. 4", "no 117", "D2-", "C90", "3/4", "box 3/4", "k", "a", "side b",
)  # fmt: skip


def read(text: str) -> Reading:
    return read_carrier(text, NO_CONTEXT)


def test_the_table_is_long_enough_to_mean_something() -> None:
    assert sum(1 for _, carrier in WORDINGS if carrier) > 400
    assert sum(1 for _, carrier in WORDINGS if not carrier) > 150


@pytest.mark.parametrize("wording, carrier", [pair for pair in WORDINGS if pair[1]], ids=lambda value: value[:40])
def test_wordings_that_mean_one_carrier(wording: str, carrier: str) -> None:
    reading = read(wording)
    assert reading.settled, reading
    assert reading.value is not None
    assert carrier in (reading.value, reading.value.partition(": ")[0])


@pytest.mark.parametrize(
    "wording", [wording for wording, carrier in WORDINGS if not carrier], ids=lambda value: value[:40]
)
def test_wordings_that_a_person_must_look_at(wording: str) -> None:
    reading = read(wording)
    assert not reading.settled
    assert reading.doubts


@pytest.mark.parametrize("name", load("carriers").by_name)
def test_a_published_form_is_itself(name: str) -> None:
    assert read(name) == Reading(name, How.EXACT)


@pytest.mark.parametrize(
    "alias, name",
    [(alias, entry.name) for entry in load("carriers").term for alias in entry.aliases],
    ids=lambda value: value[:30],
)
def test_every_alias_of_the_vocabulary_is_read_as_its_term(alias: str, name: str) -> None:
    reading = read(alias)
    assert reading.value == name
    assert reading.settled


INCH_MARKS = [
    '3/4"', "3/4''", "3/4”", "3/4″", "3/4“", "¾″", "3/4´´", "3/4-inch", "3/4 in.", "¾ inch", "3/4in", "3/4 Zoll",
]  # fmt: skip


@pytest.mark.parametrize("mark", INCH_MARKS)
def test_inch_marks_in_every_dress(mark: str) -> None:
    assert read(f"{mark} Umatic SP").value == "U-matic: SP"


@pytest.mark.parametrize(
    "wording, value, also",
    [
        ("Mini DV; Master", "MiniDV", {"generation": "Master"}),
        ("BetaSP lg", "Betacam: SP", {"size": "large"}),
        ("Digi Beta [PAL] small", "Digital Betacam", {"standard": "PAL", "size": "small"}),
        ("2 x 60' VHS", "VHS", {"count": "2", "duration": "01:00:00"}),
        ("3 cass. U-matic, 01:02:03", "U-matic", {"count": "3", "duration": "01:02:03"}),
        ("1 sound cassette (90 min.) : analog, stereo", "Audio cassette", {"duration": "01:30:00", "sound": "stereo"}),
        (
            "16mm film, b&w, silent, 11:30",
            "16mm film",
            {"colors": "B&W", "sound": "silent", "duration_as_written": "11:30"},
        ),
        ("1/4 inch tape, 7 1/2 ips, 2 track", "1/4 inch audio tape", {"speed": "7.5 ips", "tracks": "2"}),
        ("35mm nitrate film", "35mm film", {"base": "nitrate"}),
        ("35mm film, nitrate", "35mm film", {"base": "nitrate"}),
        ("VHS dub of 2 inch quad", "VHS", {"generation": "Dub", "source": "2 inch videotape: Quadruplex"}),
        ("Hi8 transferred to DVD", "DVD", {"source": "Hi8"}),
        ("LP, 33 1/3 rpm", "Vinyl recording", {"speed": "33 rpm"}),
    ],
)
def test_what_else_the_wording_says(wording: str, value: str, also: dict[str, str]) -> None:
    reading = read(wording)
    assert reading.value == value
    assert dict(reading.also).items() >= also.items()


@pytest.mark.parametrize(
    "wording, value, also",
    [
        ("35mm nitrate", "35mm film", [("base", "nitrate")]),
        ("35 mm nitrate", "35mm film", [("base", "nitrate")]),
        ("35mm nitrate film", "35mm film", [("base", "nitrate")]),
        ("35mm nitrate roll", "35mm film", [("base", "nitrate")]),
        ("35mm nitrate print", "35mm film", [("base", "nitrate"), ("generation", "Print")]),
        ("35mm nitrate neg.", "35mm film", [("base", "nitrate"), ("generation", "Negative")]),
        (
            "35mm nitrate negative 1000 ft",
            "35mm film",
            [("base", "nitrate"), ("generation", "Negative"), ("also-written", "1000 ft")],
        ),
        ("nitrate disc", "Lacquer disc", [("base", "nitrate")]),
        ("35mm Nitratfilm", "35mm film", [("base", "nitrate")]),
        ("28mm safety film", "28mm film", [("base", "acetate")]),
        ("VHS PAL", "VHS", [("standard", "PAL")]),
        ("DVD PAL", "DVD", [("standard", "PAL")]),
        ("VHS LP, 2 hrs", "VHS", [("also-written", "LP"), ("duration", "02:00:00")]),
        ("large DV", "DV", [("size", "large")]),
        ("HDV on MiniDV", "HDV", [("also-written", "MiniDV")]),
        ("Filmkopie", "Film", [("generation", "Print")]),
        ("super 8 sound", "Super 8mm film", [("also-written", "sound")]),
        ("16mm film, vinegar syndrome", "16mm film", [("condition", "vinegar syndrome")]),
        ("Betacam SP mouldy", "Betacam: SP", [("condition", "mouldy")]),
        ("U-matic (sticky shed)", "U-matic", [("condition", "sticky shed")]),
        ("VHS - do not play", "VHS", [("condition", "do not play")]),
        ("16mm, Essigsyndrom", "16mm film", [("condition", "Essigsyndrom")]),
        ("16mm film, moisissure, needs baking", "16mm film", [("condition", "moisissure, needs baking")]),
        ("VHS frobnicated", "VHS", [("also-written", "frobnicated")]),
        ("16 mm comb. opt.", "16mm film", [("also-written", "comb opt")]),
        ("16 mm Magnetfilm", "16mm film", [("also-written", "Magnetfilm")]),
        ("16mm optical sound", "16mm film", [("also-written", "optical sound")]),
        ("16mm film, magnetic", "16mm film", [("also-written", "magnetic")]),
        ("16mm sound film", "16mm film", [("also-written", "sound")]),
        ("Super 8 Kodachrome", "Super 8mm film", [("also-written", "Kodachrome")]),
        ("vinyl, 45 rpm single", "Vinyl recording", [("speed", "45 rpm"), ("also-written", "single")]),
        ("Schellackplatte 25 cm", "Shellac disc", [("also-written", "25 cm")]),
        ("shellac disc 10-in", "Shellac disc", [("size", "10 in")]),
        ("shellac disc 10 inch", "Shellac disc", [("size", "10 in")]),
        ("glass-based lacquer", "Lacquer disc", [("also-written", "glass")]),
        ("S-VHS ST-120", "VHS: S-VHS", [("stock", "ST-120")]),
        ("Sony U-matic", "U-matic", [("also-written", "Sony")]),
        ('1/4" tape full track', "1/4 inch audio tape", [("tracks", "full track")]),
        ('1/4" tape half track', "1/4 inch audio tape", [("tracks", "half track")]),
        ("Betacam SP, German version", "Betacam: SP", [("also-written", "German version")]),
        ("Betacam SP L", "Betacam: SP", [("also-written", "L")]),
        ("Betacam SP 30", "Betacam: SP", [("also-written", "30")]),
        ("Digi-Beta S", "Digital Betacam", [("also-written", "S")]),
        ("VHS x3", "VHS", [("also-written", "x 3")]),
        ("VHS; 1 of 2", "VHS", [("also-written", "1 of 2")]),
        ("VHS, side A", "VHS", [("also-written", "side A")]),
        ("VHS, no lid", "VHS", [("also-written", "no lid")]),
        ("VHS 12/3/98", "VHS", [("also-written", "12/3/98")]),
        ("VHS; MiniDisc", "VHS", [("also-written", "MiniDisc")]),
        ("VHS from camera", "VHS", [("also-written", "from camera")]),
        ("VHS from 1 inch", "VHS", [("also-written", "from 1 inch")]),
        ("DVCPRO 50, DVCPRO HD", "DVCPRO", [("also-written", "DVCPRO 50, DVCPRO HD")]),
        ("35mm slides transferred to DVD", "DVD", [("also-written", "35mm slides transferred to")]),
        ("Tonband 38 cm/s, Sendung 4", "Open reel audiotape", [("speed", "38 cm/s"), ("also-written", "Sendung 4")]),
        (
            "2 x 60' VHS, mouldy, Merrow 7",
            "VHS",
            [("count", "2"), ("duration", "01:00:00"), ("condition", "mouldy"), ("also-written", "Merrow 7")],
        ),
        ("FILM_16_PRINT", "16mm film", [("generation", "Print")]),
        ("film reel, gauge unspecified", "Film", [("also-written", "gauge unspecified")]),
        ("17.5mm film", "Film: 17.5mm", []),
        ("VHS, perhaps S-VHS", "VHS", [("also-written", "perhaps S VHS")]),
        ("Hi8 > MiniDV", "MiniDV", [("source", "Hi8")]),
        ("VHS Ärmelkanal, Größer", "VHS", [("also-written", "Ärmelkanal, Größer")]),
        ("The VHS tape in a box", "VHS", []),
        ("Betacam SP videocassette", "Betacam: SP", []),
    ],
)
def test_nothing_that_a_settled_wording_says_is_lost(wording: str, value: str, also: list[tuple[str, str]]) -> None:
    reading = read(wording)
    assert (reading.value, reading.doubts, list(reading.also)) == (value, (), also)


@pytest.mark.parametrize(
    "alias",
    [alias for entry in load("carriers").term for alias in entry.aliases],
    ids=lambda value: value[:30],
)
def test_an_alias_hides_nothing_that_its_words_say(alias: str) -> None:
    """What the grammar tells of any words of an alias (a base, a standard, a generation), the alias tells too."""
    meanings, spelled = grammar().meanings, pieces(alias)
    words = ["".join(spelled[at:end]) for at in range(len(spelled)) for end in range(at + 1, len(spelled) + 1)]
    said = {part for word in words for part in meanings.get(word) or grammar().alone(word) if "=" in part}
    told = {f"{kind}={value}".lower() for kind, value in read(alias).also}
    assert {part.lower() for part in said} <= told


GRAMMAR = tomllib.loads(resource("mappings", "vocabularies", "grammar", "carriers.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("words", GRAMMAR["condition"], ids=str)
def test_the_condition_of_a_carrier_is_told(words: str) -> None:
    told = dict(read(f"16mm film; {words}").also)["condition"]
    assert told.replace(" ", "") == words.replace(" ", "").replace("-", "").replace("'", "")


@pytest.mark.parametrize("words", [*GRAMMAR["told"], *GRAMMAR["brands"]], ids=str)
def test_words_that_say_nothing_of_the_carrier_are_told(words: str) -> None:
    reading = read(f"DVCAM; {words}")
    assert reading.settled
    assert set(typed_pieces(words)) - set("&-") <= {
        word for kind, value in reading.also if kind != "condition" for word in typed_pieces(value)
    }


@given(
    st.sampled_from([wording for wording, carrier in WORDINGS if carrier and len(wording) < 40]),
    st.text("qxzkvw", min_size=6, max_size=9),
)
def test_an_unknown_word_beside_a_settled_wording_is_told(wording: str, word: str) -> None:
    reading = read(f"{wording}; {word}")
    if reading.settled:
        assert word in " ".join(value for kind, value in reading.also if kind == "also-written").split()


@pytest.mark.parametrize(
    "wording, code, suggested",
    [
        ("Beta", "CA02", ("Betamax", "Betacam")),
        ("8mm", "CA02", ("8mm film", "Video8")),
        ('1" open reel', "CA02", ("1 inch audio tape", "1 inch videotape")),
        ("78 rpm", "CA02", ("Shellac disc", "Vinyl recording", "Lacquer disc")),
        ("digi", "CA02", ("Digital Betacam",)),
        ("VHS, DVD", "CA03", ("VHS", "DVD")),
        ("MiniDisc", "CA04", ()),
        ("IMX", "CA04", ("Videocassette: IMX",)),
        ("35 mm slide", "CA05", ()),
        ("MOV file", "CA05", ()),
        ("15mm film", "CA06", ("16mm film", "35mm film")),
        ("36mm film", "CA06", ("35mm film", "16mm film")),
        ("60mm film", "CA06", ("70mm film", "16mm film")),
        ("61 mm", "CA06", ("16mm film",)),
        ("16mm film transferred to digital video", "CA07", ("16mm film",)),
        ("", "CA08", ()),
        ("-.-", "CA08", ()),
        ("VHS?", "CA09", ("VHS",)),
        ("blue box", "CA01", ()),
    ],
)
def test_doubts_say_why_and_what_may_be_meant(wording: str, code: str, suggested: tuple[str, ...]) -> None:
    reading = read(wording)
    assert [doubt.code for doubt in reading.doubts] == [code]
    assert reading.doubts[0].suggestions == suggested
    assert not reading.settled


def test_a_house_may_settle_its_own_words(tmp_path: Path) -> None:
    path = tmp_path / "merrow.toml"
    path.write_text(
        'vocabulary = "carriers"\n[aliases]\n"Betamax" = ["beta"]\n"U-matic" = ["blue brick"]\n'
        '"35mm film" = ["vault nitrate"]\n',
        "utf-8",
    )
    context = Context(house_files=(str(path),))
    assert read_carrier("vault nitrate", context).also == (("base", "nitrate"),)
    for wording, carrier in (("blue brick; master", "U-matic"), ("Beta", "Betamax"), ("beta, 30 min.", "Betamax")):
        assert read_carrier(wording, context).value == carrier
        assert not read(wording).settled


def test_a_reading_does_not_depend_on_what_was_read_before() -> None:
    forwards = [read(wording) for wording, _ in WORDINGS]
    assert [read(wording) for wording, _ in reversed(WORDINGS)][::-1] == forwards


class Forgetful(dict[str, _Shape]):
    """A memory of shapes that never finds one."""

    def get(self, key: str, default: object = None) -> None:  # type: ignore[override]
        return None


@examples(40)
@given(st.lists(st.tuples(st.sampled_from(BETWEEN), st.sampled_from(WORDINGS), st.sampled_from(BETWEEN)), min_size=40))
def test_wordings_of_one_shape_are_read_as_each_would_be_alone(parts: list[tuple[str, tuple[str, str], str]]) -> None:
    remembering, forgetful = _Reader(grammar()), _Reader(grammar())
    forgetful._shapes = Forgetful()
    for before, (wording, _), after in parts:
        text = f"{before} {wording} {after}"
        assert remembering.read(text) == forgetful.read(text), text


TYPED_RIGHT = [pair for pair in WORDINGS if mended(pair[0]) == pair[0]]  # an l looks like a 1, an L does not


@given(st.sampled_from(TYPED_RIGHT), st.sampled_from([str.upper, str.lower, str.title, lambda text: f"  {text}\t"]))
def test_case_and_spaces_around_do_not_count(pair: tuple[str, str], change: object) -> None:
    assert callable(change)
    changed = read(change(pair[0]))
    assert (changed.value, changed.settled) == (read(pair[0]).value, read(pair[0]).settled)


@given(st.text(max_size=500))
def test_any_text_is_read_or_refused(text: str) -> None:
    reading = read(text)
    assert (reading.value is None) == (reading.how is How.UNREAD)
    assert reading.value is not None or reading.doubts
    assert reading.value is None or reading.value.partition(": ")[0] in load("carriers").by_name


@given(st.lists(st.sampled_from([*"0123456789/.:,x'\" -", "mm", "in", "VHS", "film", "1/0", "²", "٣"]), max_size=30))
def test_numbers_of_any_shape_are_taken_apart(parts: list[str]) -> None:
    text = "".join(parts)
    assert all(piece and piece == piece.strip() for piece in pieces(text))
    read(text)


def test_every_rule_of_the_grammar_decides_some_wording(monkeypatch: pytest.MonkeyPatch) -> None:
    """A rule that no wording needs, or that another one always forestalls, is a mistake in the grammar."""
    by, fits, deciding = grammar(), Rule.fits, set()

    def watched(rule: Rule, parts: frozenset[str]) -> bool:
        if fits(rule, parts):
            deciding.add(rule.when)
            return True
        return False

    monkeypatch.setattr(Rule, "fits", watched)
    reader = _Reader(by)
    for wording, _ in WORDINGS:
        reader.read(wording)
    assert [rule.when for rule in by.rules if rule.when not in deciding] == []


def test_no_wording_of_the_grammar_is_written_twice() -> None:
    text = resource("mappings", "vocabularies", "grammar", "carriers.toml").read_text(encoding="utf-8")
    seen: dict[str, str] = {}
    for word in tomllib.loads(text)["word"]:
        for wording in word["of"]:
            assert seen.setdefault("".join(pieces(wording)), word["says"]) == word["says"], wording


EBU = Path(__file__).resolve().parents[2].parent / "shared" / "standards" / "vocab" / "ebu_StorageMediaTypeCodeCS.xml"
MEANT_BY_EBU = {  # codes of the classification, and the PBCore terms that they mean
    "16T": "16mm film", "35T": "35mm film", "1BL": "1 inch videotape: Type B", "1CS": "1 inch videotape: Type C",
    "2QM": "2 inch videotape: Quadruplex", "33L": "Vinyl recording", "45D": "Vinyl recording",
    "A02": "1/4 inch audio tape", "A08": "1/2 inch audio tape", "A16": "1 inch audio tape",
    "BDL": "Digital Betacam", "BMS": "Betacam: SP", "BMX": "Betamax", "BOL": "Betacam", "CCA": "Audio cassette",
    "CDA": "Audio CD", "D1L": "D1", "D2M": "D2", "D3S": "D3", "D5L": "D5", "D6L": "D6", "D7L": "DVCPRO: 25",
    "D9": "D9", "DAT": "DAT", "DCL": "DCT", "DS1": "DDS", "DSS": "D9", "D8": "Digital8", "DVC": "DVCAM",
    "DVN": "DV", "DVH": "HDV", "F8": "8mm film", "F16": "16mm film", "F35": "35mm film", "F70": "70mm film",
    "HCL": "HDCAM", "HSL": "HDCAM: SR", "HI8": "Hi8", "LAQ": "Lacquer disc", "M2L": "MII",
    "S16": "Super 16mm film", "SVS": "VHS: S-VHS", "SXM": "Betacam SX", "UMS": "U-matic", "USP": "U-matic: SP",
    "V5L": "DVCPRO: 50", "VHL": "DVCPRO: HD", "VCR": "1/2 inch videotape: VCR", "VD0": "DVD", "VD5": "DVD: DVD-R",
    "VHS": "VHS", "VI8": "Video8", "VLD": "LaserDisc", "XDC": "Optical video disc: XDCAM",
}  # fmt: skip
NOT_ON_THE_LIST = {
    "78D", "AI1", "CDD", "CDI", "CDP", "DCC", "DL3", "FD3", "FSV", "HDS", "IML", "JZD", "LTU", "M06", "MDA",
    "NAB", "P2F", "SSM", "SSM4", "SVA", "V00", "XBM", "ZIP", "ZZZ", "ZZZ5", "ZZZ8", "ZZZ12",
}  # fmt: skip


@pytest.mark.live
@pytest.mark.skipif(not EBU.exists(), reason="the published standards are not beside this checkout")
def test_the_names_of_the_ebu_classification() -> None:
    """EBU classification of storage media, 2013: its English names are read as the terms that they mean."""
    names = {
        term.attrib["termID"].strip(): " ".join((term[0].text or "").split())
        for term in ET.parse(EBU).iter()
        if term.tag.endswith("Term") and "termID" in term.attrib
    }
    settled = {code: reading.value for code, name in names.items() for reading in [read(name)] if reading.settled}
    assert [(code, term, settled.get(code)) for code, term in MEANT_BY_EBU.items() if settled.get(code) != term] == []
    assert set(names) >= NOT_ON_THE_LIST
    assert not NOT_ON_THE_LIST & set(settled)
