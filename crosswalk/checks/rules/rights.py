"""Whether rights are stated. What the statement allows is for the rights review, not for a rule."""

from __future__ import annotations

from collections.abc import Iterable

from crosswalk.checks.place import Place
from crosswalk.findings import Finding, finding
from crosswalk.records import Asset, Part


def rights_stated(node: Asset, path: str, place: Place) -> Iterable[Finding]:
    """RC50: neither the asset nor any of its instantiations says anything about rights.

    >>> [f.code for f in rights_stated(Asset(), "", Place())]
    ['RC50']
    """
    if node.rights or isinstance(node, Part) or any(item.rights for item in node.instantiations):
        return ()
    return (finding("RC50", place.at(path), "nothing is said about rights"),)


ASSET = (rights_stated,)
