"""Whether what a mapping names has a place in a record: the field itself, and what is to stand beside its text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from crosswalk import records
from crosswalk.errors import MappingError
from crosswalk.mapping import model
from crosswalk.mapping.columns import snake
from crosswalk.mapping.targets import Target, paths, resolve
from crosswalk.records import shape
from crosswalk.tomlio import complaint

PLAIN = ("source", "ref", "version", "annotation")
BESIDE = (*PLAIN, "unit", "type", "role")


def place(mapping: model.Mapping, contents: model.Contents) -> Target:
    """The target of an entry. Raises `MappingError` where there is no such place, or what stands beside has none."""
    target = resolve(contents.to)
    if target is None:
        problem = f'"{contents.to}" is no place in a record'
        raise complaint(mapping.path, contents.to, problem, near(contents.to, paths()))
    if contents.track < 1:
        raise complaint(mapping.path, "track", f"{contents.track} is no track", "count tracks from 1")
    accepted = _accepted(target)
    for name, said in _stated(contents):
        if name not in accepted:
            raise _misfit(mapping, contents, name, said, sorted(accepted & set(BESIDE)))
    attributes = {attribute.field for attribute in shape(target.value).attributes}
    for name, said in contents.attributes.items():
        if snake(name) not in attributes:
            raise _misfit(mapping, contents, name, said, sorted(attributes))
    return target


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


def _misfit(mapping: model.Mapping, contents: model.Contents, name: str, said: str, known: list[str]) -> MappingError:
    step = f"it takes: {', '.join(known)}" if known else "leave it out"
    return complaint(mapping.path, said, f'`{contents.to}` takes no `{name}` ("{said}")', step)


def alike(text: str, names: Sequence[str]) -> list[str]:
    """The names that a text may be a slip for.

    >>> alike("Tietel", ["Titel", "Format"])
    ['Titel']
    """
    from rapidfuzz import fuzz, process

    return [name for name, _, _ in process.extract(text, names, scorer=fuzz.ratio, limit=2, score_cutoff=80)]


def near(text: str, names: Sequence[str]) -> str:
    """A next step that offers the names most like a text."""
    from rapidfuzz import process

    best = [name for name, score, _ in process.extract(text, names, limit=3) if score > 60]
    return f"did you mean {' or '.join(best)}?" if best else f"use one of: {', '.join(names)}"
