"""A text that is certainly read as just itself comes to the same by the short way and by the long one."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from crosswalk.mapping.columns import Bound, Outcome
from crosswalk.mapping.model import Column, Mapping
from crosswalk.mapping.readers import readers_of
from crosswalk.mapping.targets import resolve
from crosswalk.values.folding import fold
from crosswalk.values.reading import NO_CONTEXT

TEXTS = st.one_of(
    st.text(max_size=12),
    st.text("AB1-; &._x'\n", max_size=12),
    st.sampled_from(["n/a", "N/A", "0117", "salt; sea; salt", " sea", "sea ", "a  b", "R&B", "_x0041_", "4.0", "=1+1"]),
)
COLUMNS = [
    Column(heading="T", to="asset.title", read="text"),
    Column(heading="T", to="asset.subject", read="text", split=";"),
    Column(heading="T", to="asset.subject", read="text", split=["; ", "-"], annotation="a note"),
    Column(heading="T", to="instantiation.identifier", read="identifier", source="Shelf"),
    Column(heading="T", to="instantiation.location", read="text", split=";", public=False),
    Column(heading="T", to="asset.contributor", read="text", role="Host", sure=False),
]


def outcome(column: Column, text: str, short: bool) -> Outcome:
    readers = readers_of(Mapping())
    blank = frozenset({fold("n/a")})
    bound = Bound(0, column, resolve(column.to), readers(column.read, NO_CONTEXT), blank, file="a.csv", sheet="S")
    bound.sound = readers.sound(column.read) if short else None
    return bound.outcome([text])


def told(found: Outcome) -> tuple[object, ...]:
    """All that an outcome says; elements with their evidence, which does not count where they are compared."""
    made = [(one.value, one.how, one.rule, one.element.said) for one in found.made]
    filled = None
    if found.filled is not None:
        filled = (found.filled.part, found.filled.field, found.filled.many, repr(found.filled.held))
    return made, found.entry, found.doubts, found.plain, found.value, filled, found.remarks


@given(st.sampled_from(COLUMNS), TEXTS.filter(bool))
def test_both_ways_tell_the_same(column: Column, text: str) -> None:
    assert told(outcome(column, text, short=True)) == told(outcome(column, text, short=False))


def test_the_short_way_is_taken() -> None:
    readers = readers_of(Mapping())
    assert [bool(readers.sound(name)) for name in ("text", "identifier", "date")] == [True, True, False]
