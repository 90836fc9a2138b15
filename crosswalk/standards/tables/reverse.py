"""Statements back to a record, by the same table: the first row of a property whose form fits the text."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from crosswalk.records import LEVELS, Asset, Child, Identifier, Node, Part, Plain, shape
from crosswalk.standards.tables.choice import said_by
from crosswalk.standards.tables.flat import Statement
from crosswalk.standards.tables.forms import Form
from crosswalk.standards.tables.table import Rule, Table

Draft = dict[str, Any]  # field: value, or list of values
Report = Callable[[str, str], None]  # property and text that no row understands


class Reverse:
    """A table, made ready to be read backwards."""

    def __init__(self, table: Table, forms: Mapping[str, Form]) -> None:
        self._forms = forms
        self._rules: dict[str, list[Rule]] = {}
        for rule in table.rule:
            if rule.to and rule.read:
                self._rules.setdefault(rule.to, []).append(rule)
        for rules in self._rules.values():
            rules.sort(key=lambda rule: not forms[rule.form].strict)

    def record(self, statements: Iterable[Statement], report: Report) -> Asset:
        """An asset of all that the table understands; the rest is reported."""
        asset: Draft = {}
        instantiations: list[Draft] = []
        for name, text, kind in statements:
            if not self._place(name, text, kind, asset, instantiations):
                report(name, text)
        if instantiations:
            asset["instantiations"] = [_made(LEVELS["instantiation"], draft) for draft in instantiations]
        made = _made(Asset, asset)
        assert isinstance(made, Asset)
        return made

    def _place(self, name: str, text: str, kind: str, asset: Draft, instantiations: list[Draft]) -> bool:
        for rule in self._rules.get(name, ()):
            fields = self._forms[rule.form].read(text, kind) if text else None
            if fields is None or (rule.begins and not text.startswith(rule.begins)):
                continue
            if rule.place.level == "asset":
                put(asset, rule, fields)
            elif rule.place.level == "instantiation":
                put(_with_room(instantiations, rule.place.chain[0]), rule, fields)
            else:
                continue
            return True
        return False


def _with_room(drafts: list[Draft], child: Child) -> Draft:
    """The first instantiation that can take one more of that child; a new one where none can."""
    for draft in drafts:
        if child.many or child.field not in draft:
            return draft
    drafts.append({})
    return drafts[-1]


def put(draft: Draft, rule: Rule, fields: Mapping[str, str]) -> None:
    """Puts one value into a draft, with what the row's conditions say beside it."""
    place = rule.place
    said = said_by(rule, place)
    if place.chain[-1].path == "part":
        value: Node = Part(identifiers=(Identifier(fields["text"]),))
    else:
        attributes = {place.attributes[key]: text for key, text in said.items() if key in place.attributes}
        value = place.cls(**{**attributes, **fields})
    for child, parent in zip(reversed(place.chain[1:]), reversed(_parents(rule)), strict=True):
        siblings = [sibling for sibling in shape(parent).children if sibling.path in said]
        beside = {sibling.field: _one(sibling, said[sibling.path]) for sibling in siblings}
        value = parent(**{**beside, child.field: (value,) if child.many else value})
    first = place.chain[0]
    if first.many:
        draft.setdefault(first.field, []).append(value)
    else:
        draft.setdefault(first.field, value)


def _parents(rule: Rule) -> list[type[Node]]:
    return [child.cls for child in rule.place.chain[:-1]]


def _one(sibling: Child, text: str) -> Any:
    assert issubclass(sibling.cls, Plain)
    made = sibling.cls(text)
    return (made,) if sibling.many else made


def _made(cls: type[Node], draft: Draft) -> Node:
    return cls(**{field: tuple(value) if isinstance(value, list) else value for field, value in draft.items()})

