"""What a vocabulary is: published terms with aliases and facts, and the look-up in them."""

from __future__ import annotations

import re
from functools import cached_property
from typing import TypeAlias

import msgspec

from crosswalk.vocabularies.fold import fold

_PUBLISHED = re.compile("pbcore|metadataregistry", re.IGNORECASE)
Value: TypeAlias = str | int | float | bool


def names_published(source: str) -> bool:
    """Whether a source names one of the published lists.

    >>> names_published("PBCore instantiationPhysical"), names_published("Merrow carriers")
    (True, False)
    """
    return bool(_PUBLISHED.search(source))


class Term(msgspec.Struct, frozen=True, kw_only=True):
    """One entry: a published term, or a `detail` under the published term `broader`, printed as `Betacam: SP`."""

    term: str = ""
    id: str = ""  # the publisher's identifier of the term
    uri: str = ""  # the publisher's address of the term, where it has one of its own
    broader: str = ""
    detail: str = ""
    aliases: tuple[str, ...] = ()
    narrower: tuple[str, ...] = ()  # those aliases that say more than the term
    facts: dict[str, Value] = {}
    basis: dict[str, str] = {}  # fact: key of the vocabulary's table of bases

    @property
    def name(self) -> str:
        """The term as it is printed in a record.

        >>> Term(broader="Betacam", detail="SP").name
        'Betacam: SP'
        """
        return self.term or f"{self.broader}: {self.detail}"

    @property
    def published(self) -> str:
        """The term of the published list that this entry is, or stands under."""
        return self.term or self.broader


class Example(msgspec.Struct, frozen=True, kw_only=True):
    """A wording and what must be made of it; no `value` where it must be refused or doubted."""

    text: str
    value: str = ""
    also: dict[str, str] = {}


class Vocabulary(msgspec.Struct, frozen=True, kw_only=True, dict=True):
    """A published list of terms, as this project uses it."""

    vocabulary: str
    title: str
    source: str = ""  # who publishes the list
    registry: str = ""  # the address of the published list
    read: str = ""  # the value parser that the file's own examples are for
    basis: dict[str, str] = {}  # key: what a fact stands on
    term: tuple[Term, ...] = ()
    example: tuple[Example, ...] = ()

    @cached_property
    def index(self) -> dict[str, Term]:
        """Every folded name, identifier, address and alias, with its entry."""
        found: dict[str, Term] = {}
        for entry in self.term:
            for wording in (entry.name, entry.id, entry.uri, *entry.aliases):
                if wording:
                    found.setdefault(fold(wording), entry)
        return found

    @cached_property
    def by_name(self) -> dict[str, Term]:
        """The entries by the name that is printed."""
        return {entry.name: entry for entry in self.term}

    def find(self, text: str) -> Term | None:
        """The entry that a name, identifier, address or alias means; None where there is none."""
        return self.by_name.get(text) or self.index.get(fold(text))

    @cached_property
    def narrower(self) -> frozenset[str]:
        """The folded aliases that say more than the term they mean."""
        return frozenset(fold(wording) for entry in self.term for wording in entry.narrower)

    def says_more(self, text: str) -> bool:
        """Whether the text is an alias that says more than its term."""
        return fold(text) in self.narrower

    def fact(self, name: str, key: str, default: Value | None = None) -> Value | None:
        """A fact of the entry of that name or, where it has none, of its broader term."""
        entry = self.by_name.get(name)
        if entry is None:
            general = name.partition(": ")[0]
            return self.fact(general, key, default) if general != name else default
        if key in entry.facts:
            return entry.facts[key]
        return self.fact(entry.broader, key, default) if entry.broader else default

    def fact_basis(self, name: str, key: str) -> str:
        """What a fact stands on, in words; empty where there is no such fact."""
        entry = self.by_name.get(name)
        if entry is None:
            return ""
        if key in entry.facts:
            return self.basis.get(entry.basis.get(key, ""), entry.basis.get(key, ""))
        return self.fact_basis(entry.broader, key)
