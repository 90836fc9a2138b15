"""Whether what a mapping names has a place in a record: the field itself, and what is to stand beside its text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from crosswalk import records
from crosswalk.errors import MappingError
from crosswalk.mapping import model
from crosswalk.mapping.made import snake
from crosswalk.mapping.targets import Target, paths, resolve
from crosswalk.records import shape
from crosswalk.tomlio import complaint, near

PLAIN = ("source", "ref", "version", "annotation")
BESIDE = (*PLAIN, "unit", "type", "role")


def place(mapping: model.Mapping, contents: model.Contents) -> Target:
    """The target of an entry. Raises `MappingError` where there is no such place, or what stands beside has none."""
    for error in misplaced(mapping, contents):
        raise error
    target = resolve(contents.to)
    assert target is not None
    return target


def misplaced(mapping: model.Mapping, contents: model.Contents, table: str = "") -> Iterator[MappingError]:
    """What an entry names that a record does not have; `table` is the entry's place in the file."""
    target = resolve(contents.to)
    if target is None:
        problem = f'"{contents.to}" is no place in a record'
        yield complaint(mapping.path, contents.to, problem, near(contents.to, paths()), table)
        return
    if contents.track < 1:
        yield complaint(mapping.path, "track", f"{contents.track} is no track", "count tracks from 1", table)
    accepted = _accepted(target)
    attributes = {attribute.field for attribute in shape(target.value).attributes}
    misfits = [(name, said, sorted(accepted & set(BESIDE))) for name, said in _stated(contents) if name not in accepted]
    stated = contents.attributes.items()
    misfits += [(name, said, sorted(attributes)) for name, said in stated if snake(name) not in attributes]
    for name, said, known in misfits:
        step = f"it takes: {', '.join(known)}" if known else "leave it out"
        yield complaint(mapping.path, said, f'`{contents.to}` takes no `{name}` ("{said}")', step, table)


def _stated(contents: model.Contents) -> Iterator[tuple[str, str]]:
    for name in BESIDE:
        said = getattr(contents, name) or getattr(contents, f"{name}_from", "")
        if said:
            yield name, said


def _accepted(target: Target) -> set[str]:
    """What an element takes beside its text, by the names that mapping files use."""
    if target.child.cls is records.Extension:
        return {"type", "ref", "source"}
    fields = {attribute.field for attribute in shape(target.value).attributes}
    children = {child.field for child in shape(target.child.cls).children} if target.main is not None else set()
    accepted = fields.intersection(PLAIN) | ({"unit"} if "units_of_measure" in fields else set())
    accepted |= {"type"} if target.type_attribute or "type" in children else set()
    return accepted | ({"role"} if "roles" in children else set())


def alike(text: str, names: Sequence[str]) -> list[str]:
    """The names that a text may be a slip for.

    >>> alike("Tietel", ["Titel", "Format"])
    ['Titel']
    """
    from rapidfuzz import fuzz, process

    return [name for name, _, _ in process.extract(text, names, scorer=fuzz.ratio, limit=2, score_cutoff=80)]
