"""Loading vocabularies: look-up, facts, a house's own files, and the mistakes in them."""

from __future__ import annotations

from pathlib import Path

import pytest

from crosswalk.errors import MappingError
from crosswalk.vocabularies import Term, load, names, near


def house(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "house.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("text", ["U-matic", "u matic", "UMATIC", "Umatic", '3/4"'])
def test_found_by_term_id_and_alias(text: str) -> None:
    entry = load("carriers").find(text)
    assert entry is not None
    assert entry.term == "U-matic"


def test_not_found() -> None:
    assert load("carriers").find("blue box") is None
    assert load("carriers").find("") is None


def test_a_vocabulary_is_read_once() -> None:
    assert load("generations") is load("generations")


@pytest.mark.parametrize(
    "name, key, value",
    [
        ("Betacam: SP", "signal", "analogue"),
        ("Betacam: SP", "first_year", 1986),
        ("Digital Betacam", "signal", "digital"),
        ("HDCAM: SR", "signal", "digital"),
        ("Optical video disc: XDCAM", "body", "disc"),
        ("1 inch videotape", "body", "reel"),
        ("1 inch videotape: Type C", "width_mm", 25.4),
        ("Wire recording", "kind", "audio"),
        ("VHS: recorded in LP", "first_year", 1976),  # a detail that has no row has the facts of its term
    ],
)
def test_facts_of_the_trade(name: str, key: str, value: object) -> None:
    """Sources stand beside each fact in carriers.toml; the kinds are common practice, no source."""
    assert load("carriers").fact(name, key) == value


def test_facts_say_what_they_stand_on() -> None:
    carriers = load("carriers")
    assert carriers.fact_basis("DAT", "width_mm").startswith("published: Smithsonian")
    assert carriers.fact_basis("DVCPRO: HD", "capacity_min") == "from memory"
    assert carriers.fact_basis("DAT", "colour") == carriers.fact_basis("no such", "width_mm") == ""
    assert carriers.fact("DAT", "colour") is None
    assert carriers.fact("no such", "width_mm", 1.0) == 1.0


def test_a_house_adds_terms_and_aliases(tmp_path: Path) -> None:
    path = house(
        tmp_path,
        """
        vocabulary = "carriers"
        [[term]]
        broader = "Videocassette"
        detail = "Video 2000"
        aliases = ["flip tape"]
        facts = { first_year = 1979 }
        [aliases]
        "U-matic" = ["blue brick"]
        """,
    )
    carriers = load("carriers", str(path))
    assert carriers.find("Flip Tape") == carriers.by_name["Videocassette: Video 2000"]
    assert carriers.fact("Videocassette: Video 2000", "kind") == "video"
    assert carriers.find("bluebrick") == carriers.by_name["U-matic"]
    assert load("carriers").find("blue brick") is None
    assert load("generations", str(path)) == load("generations")  # a file for another vocabulary


@pytest.mark.parametrize(
    "text, place, problem",
    [
        ('vocabulary = "roles"\n[aliases]\n"Gardener" = ["x"]', ":3", '"Gardener" is not a term'),
        ('vocabulary = "roles"\n[aliases]\n"Host" = ["cameraman"]', ":3", 'means "Camera Operator" already'),
        ('vocabulary = "roles"\n[aliases]\n"Host" = [4]', ":2", "Expected `str`"),
        ('vocabulary = "roles"\ntems = 3', ":2", "tems"),
        ('vocabulary = "roles"\n[[term]]\nid = "x"', ":2", "neither `term` nor"),
        ('vocabulary = "roles"\n[[term]]\nbroader = "Baker"\ndetail = "night"', ":3", '"Baker" is not a term'),
        ('vocabulary = "roles"\n[[term]]\nterm = "Host"', ":3", "there already"),
        ('vocabulary = "roles"\nthis is not TOML', "", "line 2"),
        ("", "", "vocabulary"),
    ],
)
def test_mistakes_name_file_line_and_key(tmp_path: Path, text: str, place: str, problem: str) -> None:
    path = house(tmp_path, text)
    with pytest.raises(MappingError) as caught:
        load("roles", str(path))
    assert str(caught.value).startswith(f"{path}{place}")
    assert problem in str(caught.value)


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(MappingError, match="cannot be read"):
        load("roles", str(tmp_path / "nothing.toml"))


def test_names_are_the_files() -> None:
    assert "carriers" in names()
    assert all(load(name).vocabulary == name for name in names())


def test_near_terms_are_scored_and_sorted() -> None:
    found = near(load("carriers"), "Betacam SQ")
    assert found[0].term == "Betacam: SP"
    assert [one.score for one in found] == sorted((one.score for one in found), reverse=True)
    assert near(load("carriers"), "qqqqqqqqqq") == ()


def test_an_entry_prints_under_its_term() -> None:
    entry = Term(broader="VHS", detail="S-VHS")
    assert (entry.name, entry.published) == ("VHS: S-VHS", "VHS")
