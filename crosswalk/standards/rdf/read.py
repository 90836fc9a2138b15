"""RDF to records: what we wrote comes back whole; of others' RDF what the table understands. The rest is reported."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from crosswalk.findings import Finding, Origin, Severity, finding
from crosswalk.records import Asset, Child, Instantiation, Node, Record, shape
from crosswalk.standards.base import ReadOptions
from crosswalk.standards.rdf.forms import FORMS, NO_SETTING, URI, Setting
from crosswalk.standards.rdf.graph import Graph, load_graph
from crosswalk.standards.rdf.names import kinds_of
from crosswalk.standards.rdf.write import table
from crosswalk.standards.tables.choice import said_by
from crosswalk.standards.tables.paths import Place, resolve
from crosswalk.standards.tables.table import Rule, Table
from crosswalk.standards.tables.uris import normal, segment

_LEVELS = {"Asset": "asset", "Part": "asset", "Instantiation": "instantiation", "EssenceTrack": "track"}
_SAID_ELSEWHERE = ("rdf:type", "rec:position", "rec:runningTime")
_APART = frozenset({"skos:Concept", "skos:ConceptScheme", "prov:Activity"})  # nodes that no record is made of
_TITLES = ("dcterms:title", "ebucore:title")
_SHOWN = 200  # of what is not understood, at the most, before it is only counted


def reader(format_: str) -> Callable[[Path, ReadOptions], Iterator[Record | Finding]]:
    """The reader of one serialisation, named as pyoxigraph names it."""

    def read(path: Path, options: ReadOptions) -> Iterator[Record | Finding]:
        graph = load_graph(path, format_, options)
        yield from Reading(graph, table(options.table)).records()
        yield from _not_understood(graph, path, options)
        if graph.tags:
            message = f"texts are marked as {', '.join(sorted(graph.tags))}, which a record cannot say"
            yield finding("RD06", Origin(file=str(path)), message, value=" ".join(sorted(graph.tags)))

    return read


def _not_understood(graph: Graph, path: Path, options: ReadOptions) -> Iterator[Finding]:
    severity = Severity.ERROR if options.strict else None
    number = 0
    for subject, name, text in graph.left():
        number += 1
        if number <= _SHOWN:
            message = f"{name} of <{subject}> is not understood, and is left out"
            yield finding("RD03", Origin(file=str(path), path=subject), message, value=text[:200], severity=severity)
    if number > _SHOWN:
        message = f"{number - _SHOWN} more statements are not understood"
        yield finding("RD03", Origin(file=str(path)), message, severity=severity)


def _place(path: str) -> Place:
    place = resolve(path)
    assert place is not None, path
    return place


class Reading:
    """Makes records of a graph, by the table read backwards."""

    def __init__(self, graph: Graph, rows: Table) -> None:
        self._graph, self._table, self._setting = graph, rows, NO_SETTING
        self._rules: dict[str, list[Rule]] = {}
        for rule in rows.rule:
            if rule.to and rule.read:
                self._rules.setdefault(rule.from_, []).append(rule)
        for rules in self._rules.values():
            rules.sort(key=lambda rule: (rule.extra, rule.about == "record"))

    def records(self) -> Iterator[Record]:
        """The assets, then the instantiations that stand alone, in the order of their URIs' first place in the file."""
        inner = self._linked()
        self._setting = Setting(self._base())
        subjects = {subject: self._graph.classes(subject) for subject in self._graph.about if subject not in inner}
        media = kinds_of("ebucore:MediaResource")
        for subject, classes in subjects.items():
            if self._is_asset(subject, classes, media):
                yield self.node(Asset, "asset", subject)
        for subject, classes in subjects.items():
            if classes & media and not self._is_asset(subject, classes, media):
                yield self.node(Instantiation, "instantiation", subject)
        self._settle_the_rest()

    def _is_asset(self, subject: str, classes: set[str], media: frozenset[str]) -> bool:
        """By its class, or, in RDF of others, by having a title and being nothing else that we know."""
        if classes & kinds_of("ebucore:EditorialObject"):
            return True
        return not classes & (media | _APART) and bool(self._graph.objects(subject, _TITLES))

    def _linked(self) -> set[str]:
        """What belongs to another node: parts, instantiations of assets, tracks."""
        paths = ("asset.part", "asset.instantiation", "instantiation.part", "instantiation.essence-track")
        links = {row.link[0] for row in self._table.node if row.from_ in paths and row.link}
        return {
            text for statements in self._graph.about.values() for name, text, kind in statements
            if kind == URI and name in links
        }  # fmt: skip

    def _base(self) -> str:
        """The base that the file's URIs were minted below, if one of them was minted by our rule."""
        for subject in self._graph.about:
            head, found, tail = subject.partition("/asset/")
            stated = self._graph.objects(subject, ("dcterms:identifier",)) if found else []
            if any(segment(text) == tail for text, _ in stated):
                return f"{head}/"
        return ""

    def node(self, cls: type[Node], path: str, subject: str) -> Any:
        """One node as an object of the model."""
        fields = self._attributes(cls, subject)
        children = {child: _place(f"{path}.{child.path}") for child in shape(cls).children}
        own = {child: self._own(place, subject) for child, place in children.items()}  # first, so that it is settled
        for child, place in children.items():
            values = self._child(child, place, subject, own[child])
            if values:
                fields[child.field] = tuple(values) if child.many else values[0]
        return cls(**fields)

    def _attributes(self, cls: type[Node], subject: str) -> dict[str, Any]:
        fields: dict[str, Any] = {}
        for attribute in shape(cls).attributes:
            text = self._graph.one(subject, f"rec:{attribute.name}")
            if text is not None:
                fields[attribute.field] = text
                self._graph.settle(subject, f"rec:{attribute.name}", text)
        for name in _SAID_ELSEWHERE:
            for text, _ in self._graph.objects(subject, (name,)):
                self._graph.settle(subject, name, text)
        return fields

    def _child(self, child: Child, place: Place, subject: str, own: list[tuple[str, str]]) -> list[Any]:
        if own:
            values = [self._value(child, place.path, text, kind) for text, kind in own]
            self._settle_rules(place, subject, values)
            return values
        if shape(child.cls).content == "children":
            return self._containers(child, place.path, subject)
        return self._stated(self._rules.get(place.path, []), place, subject)

    def _own(self, place: Place, subject: str) -> list[tuple[str, str]]:
        """The nodes and literals that say a value whole, in their order."""
        rows = [row for row in self._table.node if row.from_ == place.path and row.link]
        primary = [*dict.fromkeys(row.link[0] for row in rows), f"rec:{place.chain[-1].element}"]
        found: dict[tuple[str, str], None] = {}
        for name in primary:
            for text, kind in self._graph.objects(subject, (name,)):
                if kind != URI or text in self._graph.about:
                    found[text, kind] = None
                    self._graph.settle(subject, name, text)
        self._settle_links([link for row in rows for link in row.link[1:]], {text for text, _ in found}, subject)
        for text, _ in found:
            backs = {row.back for row in rows if row.back}
            self._settle_links(list(backs), {subject}, text)
        return sorted(found, key=self._position)

    def _settle_links(self, links: list[str], texts: set[str], subject: str) -> None:
        for name, text, _ in self._graph.about.get(subject, ()):
            if text in texts and (name in links or name.startswith("relators:")):
                self._graph.settle(subject, name, text)

    def _position(self, found: tuple[str, str]) -> int:
        text = self._graph.one(found[0], "rec:position")
        return int(text) if text and text.isdigit() else 0

    def _value(self, child: Child, path: str, text: str, kind: str) -> Any:
        content = shape(child.cls).content
        if kind != URI:
            return child.cls(text)
        if content == "children":
            level = _LEVELS.get(child.cls.__name__)
            return self.node(child.cls, level or path, text)
        return self._detail(child, path, text)

    def _detail(self, child: Child, path: str, about: str) -> Any:
        rows = [row.value for row in self._table.node if row.from_ == path and row.value]
        field = "text" if shape(child.cls).content == "text" else "xml"
        names = (*rows, "rdf:value", "rec:xml", "rdfs:label", "skos:prefLabel")
        text = next((text for name in names if (text := self._graph.one(about, name)) is not None), "")
        for name in names:
            self._graph.settle(about, name, text)
        return child.cls(**{**self._attributes(child.cls, about), field: text})

    def _containers(self, child: Child, path: str, subject: str) -> list[Any]:
        """Containers of which only the statements about the record are there: others' RDF, mostly."""
        made = []
        for inner in shape(child.cls).children:
            place = _place(f"{path}.{inner.path}")
            rules = [rule for rule in self._rules.get(f"{path}.{inner.path}", ()) if rule.about == "record"]
            for rule in rules:
                for value in self._stated([rule], place, subject):
                    siblings = {s.field: s for s in shape(child.cls).children if s.path in rule.when}
                    said = said_by(rule, place)
                    beside = {name: s.cls(said[s.path]) for name, s in siblings.items() if s.path in said}
                    made.append(child.cls(**{**beside, inner.field: value}))
        return made

    def _stated(self, rules: list[Rule], place: Place, subject: str) -> list[Any]:
        """The values that statements of the table's own properties make."""
        made: list[Any] = []
        for rule in rules:
            if rule.extra and made:
                continue
            for text, kind in self._graph.objects(subject, (rule.to, *rule.also)):
                if (subject, rule.to, text) in self._graph.understood:
                    continue
                fields = self._fields(rule, text, kind)
                if fields is None or (rule.begins and not fields["text"].startswith(rule.begins)):
                    continue
                said = said_by(rule, place)
                attributes = {place.attributes[key]: word for key, word in said.items() if key in place.attributes}
                made.append(place.cls(**{**attributes, **fields}))
                for name in (rule.to, *rule.also):
                    self._graph.settle(subject, name, text)
        if made:
            self._settle_extras(rules, subject)
        return made

    def _fields(self, rule: Rule, text: str, kind: str) -> dict[str, str] | None:
        if rule.form == "term" and kind == URI:
            label = self._graph.one(text, "skos:prefLabel") or self._graph.one(text, "rdfs:label")
            return {"text": label or text}
        if rule.form == "plain" and kind == URI:
            label = self._graph.one(text, "skos:prefLabel") or self._graph.one(text, "rdfs:label")
            return {"text": label} if label else None
        return FORMS[rule.form].read(text, kind, self._setting)

    def _settle_rules(self, place: Place, subject: str, values: list[Any]) -> None:
        """Statements that say again what a node of ours says whole; whatever else was stated stays to be reported."""
        within = f"{place.path}."
        for rule in self._table.rule:
            if rule.from_ == place.path:
                self._settle_said(rule, subject, values)
            elif rule.about == "record" and rule.from_.startswith(within):
                inner = [getattr(value, rule.place.chain[-1].field) for value in values]
                self._settle_said(rule, subject, [value for value in inner if value is not None])

    def _settle_said(self, rule: Rule, subject: str, values: list[Any]) -> None:
        stated = [text for text, _ in self._graph.objects(subject, (rule.to,))]
        if rule.form == "record":  # below whatever base
            ends = tuple(f"/asset/{segment(value.text)}" for value in values)
            texts = {text for text in stated if text.endswith(ends)}
        elif rule.form == "term":
            labels = {normal(value.text) for value in values}
            texts = {text for text in stated if normal(self._graph.one(text, "skos:prefLabel") or "") in labels}
        else:
            texts = {text for value in values for text, _ in FORMS[rule.form].write(value, self._setting)}
        for name in (rule.to, *rule.also):
            for text in texts:
                self._graph.settle(subject, name, text)

    def _settle_extras(self, rules: list[Rule], subject: str) -> None:
        names = {rule.to for rule in rules if rule.extra} | {"rec:runningTime"}
        for name, text, _ in self._graph.about.get(subject, ()):
            if name in names:
                self._graph.settle(subject, name, text)

    def _settle_the_rest(self) -> None:
        """Terms, runs and rows say nothing that a record holds; what is said of them is understood."""
        for subject, statements in self._graph.about.items():
            classes = self._graph.classes(subject)
            apart = classes & _APART or classes == {"prov:Entity"}
            for name, text, _ in statements:
                if apart or name in ("rdf:type", "prov:wasGeneratedBy", "prov:wasDerivedFrom", "rec:position"):
                    self._graph.settle(subject, name, text)

