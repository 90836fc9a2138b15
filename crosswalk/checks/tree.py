"""The elements of one record by the steps of paths. The children of a parent are gone through once, so that a thousand
faults in one record cost no more than its length."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import TypeAlias

from lxml import etree

_QUALIFIED = re.compile(r"\{[A-Za-z][\w+.-]*:[^{}\s]*\}")  # a namespace, not a quantifier of a pattern
_STEP = re.compile(r"/(?=[A-Za-z])")
_NUMBER = re.compile(r"\[\d+\]$")

Children: TypeAlias = list[etree._Element]


@lru_cache(maxsize=4096)
def local(tag: object) -> str:
    """The name without its namespace.

    >>> local("{http://example.org/}title")
    'title'
    """
    return _QUALIFIED.sub("", str(tag))


class Tree:
    """What has been looked up so far below one element, parent by parent.

    >>> root = etree.fromstring("<a><b/><b><c/></b></a>")
    >>> tree = Tree(root)
    >>> tree.path(root[1][0])
    'b[2]/c'
    >>> tree.nearest("b[2]/d[1]") is root[1]
    True
    """

    def __init__(self, top: etree._Element) -> None:
        self.top = top
        self._children: dict[etree._Element, Children] = {}
        self._steps: dict[etree._Element, dict[etree._Element, str]] = {}
        self._named: dict[etree._Element, dict[str, etree._Element]] = {}
        self._noted: dict[etree._Element, dict[str, etree._Element]] = {}

    def children(self, parent: etree._Element) -> Children:
        """The elements in a parent, without comments and instructions."""
        if parent not in self._children:
            self._children[parent] = [child for child in parent if isinstance(child.tag, str)]
        return self._children[parent]

    def has(self, parent: etree._Element, name: str) -> bool:
        """Whether an element of that name stands in a parent."""
        return f"{name}[1]" in self._below(parent)

    def path(self, element: etree._Element) -> str:
        """The path of an element below the top, with a number where there are several of the name."""
        steps: list[str] = []
        here: etree._Element | None = element
        while here is not None and here is not self.top:
            parent = here.getparent()
            steps.append(self._step(parent, here) if parent is not None else local(here.tag))
            here = parent
        return "/".join(reversed(steps))

    def nearest(self, path: str) -> etree._Element:
        """The element at such a path; where it is not there, the one that should hold it."""
        here = self.top
        for step in _STEP.split(path) if path else ():
            found = self._below(here).get(step if _NUMBER.search(step) else f"{step}[1]")
            if found is None:
                break
            here = found
        return here

    def noted(self, path: str) -> etree._Element:
        """The element at a path as libxml2 notes it: `/*/*[4]/dc:title[2]`. A star stands for an element in a default
        namespace and counts all elements; a name counts those of the name."""
        here = self.top
        for step in path.split("/")[2:]:
            if here not in self._noted:
                self._noted[here] = dict(_as_noted(self.children(here)))
            found = self._noted[here].get(step if _NUMBER.search(step) else f"{step}[1]")
            if found is None:
                return here
            here = found
        return here

    def _below(self, parent: etree._Element) -> dict[str, etree._Element]:
        if parent not in self._named:
            self._named[parent] = dict(_numbered(self.children(parent), lambda child: local(child.tag)))
        return self._named[parent]

    def _step(self, parent: etree._Element, element: etree._Element) -> str:
        if parent not in self._steps:
            several = Counter(child.tag for child in parent)
            numbered = _numbered(list(parent), lambda child: child.tag)
            self._steps[parent] = {
                child: local(child.tag) + (step[step.rindex("[") :] if several[child.tag] > 1 else "")
                for step, child in numbered
            }
        return self._steps[parent][element]


def _numbered(children: Children, name: Callable[[etree._Element], object]) -> Iterator[tuple[str, etree._Element]]:
    """The children, each with its name and its number among those of the name."""
    counts: Counter[object] = Counter()
    for child in children:
        counts[name(child)] += 1
        yield f"{name(child)}[{counts[name(child)]}]", child


def _as_noted(children: Children) -> Iterator[tuple[str, etree._Element]]:
    yield from ((f"*[{number}]", child) for number, child in enumerate(children, 1))
    yield from _numbered(children, lambda child: ":".join(filter(None, (child.prefix, local(child.tag)))))


@lru_cache(maxsize=1)
def tree_of(top: etree._Element) -> Tree:
    """The tree below an element, kept until another one is asked for: findings come record by record."""
    return Tree(top)
