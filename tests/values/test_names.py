"""Names: one form without damage. All people here are invented; the forms are common practice, no source."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.values.names import read_name, split_names
from crosswalk.values.reading import NO_CONTEXT, How


@pytest.mark.parametrize(
    "text, value",
    [
        ("Vale, Anna", "Vale, Anna"),
        ("Vale ,Anna", "Vale, Anna"),
        ("Anna Vale", "Vale, Anna"),
        ("  Anna   Vale ", "Vale, Anna"),
        ("Anna B. Vale", "Vale, Anna B."),
        ("A. B. Vale", "Vale, A. B."),
        ("Anna-Lise Vale-Moss", "Vale-Moss, Anna-Lise"),
        ("Anna O'Dray", "O'Dray, Anna"),
        ("Anna van der Meer", "van der Meer, Anna"),
        ("Corin de la Marsh", "de la Marsh, Corin"),
        ("Ida Von Dray", "Von Dray, Ida"),
        ("Peter Marlow Jr.", "Marlow, Peter, Jr."),
        ("Peter Marlow, Jr.", "Marlow, Peter, Jr."),
        ("Peter Marlow III", "Marlow, Peter, III"),
        ("DRAY Corin", "Dray, Corin"),
        ("Dray C.", "Dray, C."),
        ("Dray C", "Dray, C"),
        ("Dray C. P.", "Dray, C. P."),
        ("Dray C.P.", "Dray, C.P."),
        ("van der Meer A.", "van der Meer, A."),
        ("DE MARSH Corin", "DE MARSH, Corin"),
        ("VAN DER FEN Corin", "VAN DER FEN, Corin"),
        ("Corin DE MARSH", "DE MARSH, Corin"),
        ("Anna E. VALE", "Vale, Anna E."),
        ("Cast and crew", "Cast and crew"),
        ("KQM/TRL", "KQM/TRL"),
        ("VALE, ANNA", "Vale, Anna"),
        ("ANNA VALE", "Vale, Anna"),
        ("anna vale", "Vale, Anna"),
        ("ANNA O'DRAY", "O'Dray, Anna"),
        ("Anna Müller", "Müller, Anna"),
        ("Vale, Anna, 1931-1999", "Vale, Anna, 1931-1999"),
        ("Vale", "Vale"),
        ("Merrow Coast Public Media", "Merrow Coast Public Media"),
        ("The Tidewater Players", "The Tidewater Players"),
        ("Vale & Sons Ltd", "Vale & Sons Ltd"),
        ("Merrow Fish and Wildlife Department", "Merrow Fish and Wildlife Department"),
        ("Tonstudio Dray GmbH", "Tonstudio Dray GmbH"),
        ("Studio 7", "Studio 7"),
        ("Studio 3 Choir", "Studio 3 Choir"),
        ("4th Merrow Scouts", "4th Merrow Scouts"),
        ("Channel 4", "Channel 4"),
        ("Merrow Festival Choir 1987", "Merrow Festival Choir 1987"),
        ("Harbour Street Singers", "Harbour Street Singers"),
        ("Vale, Anna, 1923-1987", "Vale, Anna, 1923-1987"),
        ("Vale, Anna (1923-1987)", "Vale, Anna (1923-1987)"),
        ("Anna Vale, 1923-1987", "Vale, Anna, 1923-1987"),
        ("Anna Vale (1923–)", "Vale, Anna (1923–)"),
        ("Anna Vale b. 1923", "Vale, Anna, b. 1923"),
        ("Vale, Anna, fl. 1950", "Vale, Anna, fl. 1950"),
        ("Vale, Anna, active 1950-1961", "Vale, Anna, active 1950-1961"),
        ("Vale, Anna, b. 1923, d. 1987", "Vale, Anna, b. 1923, d. 1987"),
        ("Peter Marlow 3rd", "Marlow, Peter, 3rd"),
        ("Home, Anna", "Home, Anna"),
        ("La Rue, Corin", "La Rue, Corin"),
        ("Douglas-Home, Corin", "Douglas-Home, Corin"),
    ],
)
def test_one_form(text: str, value: str) -> None:
    reading = read_name(text, NO_CONTEXT)
    assert reading.value == value
    assert reading.settled
    assert (reading.how is How.EXACT) == (text == value)


@pytest.mark.parametrize(
    "text, value, also",
    [
        ("Dr. Anna Vale", "Vale, Anna", ("title", "Dr.")),
        ("Anna Vale (host)", "Vale, Anna", ("role", "Host")),
        ("Vale, Anna (producer)", "Vale, Anna", ("role", "Producer")),
        ("Anna Vale, producer", "Vale, Anna", ("role", "Producer")),
        ("Producer: Anna Vale", "Vale, Anna", ("role", "Producer")),
        ("snd: P. Tarn", "Tarn, P.", ("role", "Recording Engineer")),
        ("Producer:Anna Vale", "Vale, Anna", ("role", "Producer")),
        ("Vale, Anna, 1923-1987 (host)", "Vale, Anna, 1923-1987", ("role", "Host")),
        ("Anna Vale (presenter)", "Vale, Anna", ("role", "Host")),
        ("Anna Vale (narr.)", "Vale, Anna", ("role", "Narrator")),
        ("narrated by Anna Vale", "Vale, Anna", ("role", "Narrator")),
        ("with Anna Vale", "Vale, Anna", ("note", "with")),
        ("with Anna Vale (host)", "Vale, Anna", ("note", "with")),
        ("with Anna Vale (host)", "Vale, Anna", ("role", "Host")),
        ("Anna Vale as Ophelia", "Vale, Anna", ("note", "as Ophelia")),
        ("Anna Vale + crew", "Vale, Anna", ("others", "+ crew")),
        ("Anna Vale and guests", "Vale, Anna", ("others", "and guests")),
        ("Anna Vale (Merrow harbour)", "Vale, Anna", ("note", "Merrow harbour")),
        ("Kestrel Transfer House", "Kestrel Transfer House", ("kind", "organisation")),
    ],
)
def test_what_stands_beside_a_name(text: str, value: str, also: tuple[str, str]) -> None:
    reading = read_name(text, NO_CONTEXT)
    assert (reading.value, reading.settled) == (value, True)
    assert also in reading.also


@pytest.mark.parametrize(
    "text, names",
    [
        ("Anna Vale", ["Anna Vale"]),
        ("Vale, Anna", ["Vale, Anna"]),
        ("Anna Vale; Corin Dray", ["Anna Vale", "Corin Dray"]),
        ("Vale, Anna; Dray, Corin;", ["Vale, Anna", "Dray, Corin"]),
        ("Anna Vale and Corin Dray", ["Anna Vale", "Corin Dray"]),
        ("Vale, Anna and Dray, Corin", ["Vale, Anna", "Dray, Corin"]),
        ("Anna Vale, Corin Dray, Ida Moss", ["Anna Vale", "Corin Dray", "Ida Moss"]),
        ("Anna Vale / Corin Dray", ["Anna Vale", "Corin Dray"]),
        ("Anna Vale\nCorin Dray", ["Anna Vale", "Corin Dray"]),
        ("Vale & Sons Ltd", ["Vale & Sons Ltd"]),
        ("Fish and Wildlife Board", ["Fish and Wildlife Board"]),
        ("", []),
        (" ; ", []),
    ],
)
def test_several_in_a_cell(text: str, names: list[str]) -> None:
    assert list(split_names(text)) == names


@pytest.mark.parametrize(
    "text, code, suggested",
    [
        ("Anna Vale; Corin Dray", "NM02", ("Vale, Anna", "Dray, Corin")),
        ("Vale/Dray", "NM02", ("Vale", "Dray")),
        ("Vale and Dray", "NM02", ("Vale", "Dray")),
        ("Anna Vale + Corin Dray", "NM02", ("Vale, Anna", "Dray, Corin")),
        ("Anna Vale + 2 guests", "NM04", ()),
        ("Anna and Peter Vale", "NM02", ("Vale, Anna", "Vale, Peter")),
        ("Ida García Vale", "NM05", ("Vale, Ida García", "García Vale, Ida")),
        ("María García López", "NM05", ("López, María García", "García López, María")),
        ("Anna Temple", "NM05", ("Temple, Anna", "Anna Temple")),
        ("MCDRAY, ANNA", "NM05", ("Mcdray, Anna",)),
        ("Anna Vale anna@example.org", "NM04", ()),
        ("Anna Vale 555 0134 22", "NM04", ()),
        ("Anna Vale?", "NM04", ()),
        ("various", "NM03", ()),
        ("Unknown", "NM03", ()),
        ("...", "NM01", ()),
        ("", "NM01", ()),
        ("x" * 400, "NM01", ()),
    ],
)
def test_doubts(text: str, code: str, suggested: tuple[str, ...]) -> None:
    reading = read_name(text, NO_CONTEXT)
    assert [doubt.code for doubt in reading.doubts] == [code]
    assert reading.doubts[0].suggestions == suggested


@pytest.mark.parametrize(
    "text",
    [
        "Mrs Holm, 14 Quay Street",
        "Dray, Corin (home 960222)",
        "Ada Quill mob 07700900123",
        "A. Vale ext 4411",
        "Anna Vale (private: Mrs Holm, 14 Quay St)",
        "Anna Vale tel. 01632 960111",
        "Anna Vale 1923",
        "Vale, Anna, 1632-2011",
        "Vale, Anna 14",
        "Anna Vale 2nd floor",
        "Anna Vale (Quay Street)",
        "Vale, Anna, Hafenstraße",
        "Anna Vale Quay St.",
        "Vale, Anna, rue du Port",
        "Anna Vale (privat)",
        "Anna Vale home",
        "Anna Vale (at) example.org",
        "Anna Vale www.example.org",
        "Anna Vale XY1 2ZZ",
        "Mrs Holm, Quay House",
        "Mrs Holm Quay House 14",
        "Merrow Choir, 14 Quay Street",
        "Merrow Choir XY1 2ZZ",
        "Merrow Choir 4411",
        "Merrow Choir tel 221",
        "xyz: P. Tarn",
        "xyz: Merrow Choir",
    ],
)
def test_what_is_private_does_not_go_out_with_a_name(text: str) -> None:
    """Telephone numbers, addresses and what looks like them; common practice, no source."""
    reading = read_name(text, NO_CONTEXT)
    assert ([doubt.code for doubt in reading.doubts], reading.settled) == (["NM04"], False)


@given(st.text(max_size=400))
def test_no_letter_of_a_name_is_lost(text: str) -> None:
    reading = read_name(text, NO_CONTEXT)
    if reading.value is not None:
        kept = reading.value + "".join(value for _, value in reading.also)
        assert all(c.casefold() in kept.casefold() for c in text if c.isalpha() and c.isascii())


@given(st.lists(st.sampled_from(["Anna", "Vale", "van", "der", "Corin", "Dray", "Moss"]), min_size=1, max_size=5))
def test_reading_twice_changes_nothing(words: list[str]) -> None:
    once = read_name(" ".join(words), NO_CONTEXT).value
    assert once is None or read_name(once, NO_CONTEXT).value == once


@pytest.mark.parametrize(
    "name",
    ["Lord Mayor of Merrow", "Bishop of Merrow", "Osk the Elder", "Anna Vale née Holm", "John XXIII", "King Osk V"],
)
def test_offices_and_places_in_a_name_are_left_as_they_are(name: str) -> None:
    reading = read_name(name, NO_CONTEXT)
    assert (reading.value, reading.doubts) == (name, ())


@pytest.mark.parametrize(
    "name",
    ["Banda de Merrow", "Grupo Marea", "Fanfare de la Côte", "Chorale du Port", "Blaskapelle Merrow", "Quartett Osk"],
)
def test_organisations_of_other_languages_are_left_as_they_are(name: str) -> None:
    reading = read_name(name, NO_CONTEXT)
    assert (reading.value, dict(reading.also)) == (name, {"kind": "organisation"})
