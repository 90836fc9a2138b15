"""Finds the folders `schemas`, `mappings` and `samples`: beside the package in a checkout, inside it in a wheel."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from crosswalk.errors import CannotContinue

_PACKAGE = Path(__file__).resolve().parent


@cache
def folder(name: str) -> Path:
    """The folder of that name (`schemas`, `mappings`, `samples`).

    A wheel is asked first: its neighbours in site-packages may carry the same names by chance.

    >>> folder("mappings").name
    'mappings'
    """
    for place in (_PACKAGE / "_data" / name, _PACKAGE.parent / name):
        if place.is_dir():
            return place
    raise CannotContinue(name, "this folder of the installation is missing", "install the package again")


def resource(*parts: str) -> Path:
    """The path of a file that the project ships; raises CannotContinue where it is missing.

    >>> resource("schemas", "catalogue.toml").name
    'catalogue.toml'
    """
    path = folder(parts[0]).joinpath(*parts[1:])
    if not path.exists():
        raise CannotContinue("/".join(parts), "no such file in this installation", _what_there_is(path))
    return path


def schema_path(name: str) -> Path:
    """The path of one of our own schema documents, such as `pbcore-2.1.xsd`.

    >>> schema_path("pbcore-2.1.xsd").name
    'pbcore-2.1.xsd'
    """
    return resource("schemas", name)


def schemas_dir() -> Path:
    """The folder of schemas, shapes and profiles, with their catalogue."""
    return folder("schemas")


def mappings_dir() -> Path:
    """The folder with `house`, `crosswalks` and `vocabularies`."""
    return folder("mappings")


def samples_dir() -> Path:
    """The folder of the demo scenario."""
    return folder("samples")


def _what_there_is(path: Path) -> str:
    if not path.parent.is_dir():
        return "install the package again"
    return "there is " + ", ".join(sorted(p.name for p in path.parent.iterdir() if not p.name.startswith((".", "_"))))
