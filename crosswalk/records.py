"""The record model: PBCore 2.1 as typed, immutable classes. This is the one place where PBCore's structure is written.

A field annotated with `Element` is a child element; its type says how many there may be (`tuple` many, `X | None` one)
and `least` how many there must be. Every other field of type `str | None` is an attribute of the same name in camel
case. Reader, writer, JSON and sheet columns are derived from `shape(cls)`; a test holds it against the schema.

Everything is optional in Python, so that an incomplete record can be held, checked and explained; what a valid record
needs is in `least` and `required`, and the checks report it.
"""

from __future__ import annotations

import re
import types
from functools import cache
from operator import is_
from typing import Annotated, Any, ClassVar, Literal, TypeAlias, TypeVar, Union, get_args, get_origin, get_type_hints

import msgspec

from crosswalk.findings import cell_address

NAMESPACE = "http://www.pbcore.org/PBCore/PBCoreNamespace.html"


class Element(msgspec.Struct, frozen=True):
    """Marks a field as a child element: its name, and how many of it a valid document has at the least."""

    name: str
    least: int = 0


class Required(msgspec.Struct, frozen=True):
    """Marks an attribute that a valid document must have."""


class Evidence(msgspec.Struct, frozen=True, gc=False, rename="camel", omit_defaults=True):
    """Where a value came from: the text as it was written, its cell, and the rule that read it.

    `row` counts from 1 as the sheet does (for a delimited file: the line), `column` from 0. Evidence without a row is
    of the row that its record or carrier came from (see `located`), so that one value can serve many records. What is
    not `public` never stands in an output meant for the public.
    """

    text: str
    file: str = ""
    sheet: str = ""
    row: int = 0
    column: int = 0
    how: str = ""
    rule: str = ""
    public: bool = True

    @property
    def cell(self) -> str:
        """The address of the cell; empty where the value came from no cell.

        >>> Evidence("Umatic", file="tapes.xlsx", sheet="Tapes", row=27, column=5).cell
        'Tapes!F27'
        """
        return cell_address(self.file, self.sheet, self.row, self.column) if self.row else ""


class Node(
    msgspec.Struct, frozen=True, gc=False, rename="camel", omit_defaults=True, kw_only=True, forbid_unknown_fields=True
):
    """The base of all records and values. JSON with a field that no class knows is refused, not read without it.

    Two are equal when what they say is equal: where it came from does not count.
    """

    choice: ClassVar[bool] = False  # only one kind of child may stand in it

    def __eq__(self, other: object) -> bool:
        return type(self) is type(other) and said(self) == said(other)

    def __hash__(self) -> int:
        return hash(said(self))


class Value(Node, frozen=True, gc=False, kw_only=True):
    """The base of everything with content of its own."""

    evidence: Evidence | None = None


def said(value: Node) -> tuple[Any, ...]:
    """All that a value says, without its evidence.

    >>> said(Plain("Spatial", evidence=Evidence("place")))
    ('Spatial',)
    """
    fields = type(value).__struct_fields__
    return tuple(getattr(value, field) for field in fields if field != "evidence")


class Plain(Value, frozen=True, gc=False):
    """An element with text and no attributes."""

    text: str


class Text(Plain, frozen=True, gc=False):
    """An element with text and the four attributes that nearly every PBCore element has."""

    source: str | None = None
    ref: str | None = None
    version: str | None = None
    annotation: str | None = None


class TimedText(Text, frozen=True, gc=False):
    """A text that may hold for a stretch of time only."""

    start_time: str | None = None
    end_time: str | None = None
    time_annotation: str | None = None


class Identifier(Text, frozen=True, gc=False):
    """An identifier: its source must be named."""

    source: Annotated[str | None, Required()] = None


class DateText(Text, frozen=True, gc=False):
    """A date and what happened on it."""

    date_type: str | None = None


class Title(TimedText, frozen=True, gc=False):
    """A title and its kind."""

    title_type: str | None = None
    title_type_source: str | None = None
    title_type_ref: str | None = None
    title_type_version: str | None = None
    title_type_annotation: str | None = None


class Subject(TimedText, frozen=True, gc=False):
    """What it is about."""

    subject_type: str | None = None
    subject_type_source: str | None = None
    subject_type_ref: str | None = None
    subject_type_version: str | None = None
    subject_type_annotation: str | None = None


class Description(TimedText, frozen=True, gc=False):
    """What is in it, as prose."""

    description_type: str | None = None
    description_type_source: str | None = None
    description_type_ref: str | None = None
    description_type_version: str | None = None
    description_type_annotation: str | None = None
    segment_type: str | None = None
    segment_type_source: str | None = None
    segment_type_ref: str | None = None
    segment_type_version: str | None = None
    segment_type_annotation: str | None = None


class AgentName(TimedText, frozen=True, gc=False):
    """The name of a person or body, and whom they belong to."""

    affiliation: str | None = None
    affiliation_source: str | None = None
    affiliation_ref: str | None = None
    affiliation_version: str | None = None
    affiliation_annotation: str | None = None


class ContributorRole(Text, frozen=True, gc=False):
    """What a contributor did, and whom they played."""

    portrayal: str | None = None


class Measure(Text, frozen=True, gc=False):
    """A figure and its unit."""

    units_of_measure: str | None = None


class Standard(Text, frozen=True, gc=False):
    """A broadcast standard or container format."""

    profile: str | None = None


class Annotation(Text, frozen=True, gc=False):
    """A note and its kind."""

    annotation_type: str | None = None


class Language(Text, frozen=True, gc=False):
    """ISO 639-2 codes of three letters, several joined by `;`."""


class Link(Text, frozen=True, gc=False):
    """A URI."""


class Embedded(Value, frozen=True, gc=False):
    """Foreign XML, kept as it is: the content of the element, with the namespaces it needs declared in it."""

    xml: str
    source: str | None = None
    ref: str | None = None
    version: str | None = None
    annotation: str | None = None


class AssetRelation(Node, frozen=True, gc=False, kw_only=True):
    """How the asset stands to another one."""

    type: Annotated[Text | None, Element("pbcoreRelationType", 1)] = None
    identifier: Annotated[Text | None, Element("pbcoreRelationIdentifier", 1)] = None


class InstantiationRelation(Node, frozen=True, gc=False, kw_only=True):
    """How the instantiation stands to another one."""

    type: Annotated[Text | None, Element("instantiationRelationType", 1)] = None
    identifier: Annotated[Text | None, Element("instantiationRelationIdentifier", 1)] = None


class Coverage(Node, frozen=True, gc=False, kw_only=True):
    """A place or a time that the content is about; `type` is Spatial or Temporal."""

    coverage: Annotated[TimedText | None, Element("coverage", 1)] = None
    type: Annotated[Plain | None, Element("coverageType")] = None


class Creator(Node, frozen=True, gc=False, kw_only=True):
    """Who made the content."""

    creator: Annotated[AgentName | None, Element("creator", 1)] = None
    roles: Annotated[tuple[Text, ...], Element("creatorRole")] = ()


class Contributor(Node, frozen=True, gc=False, kw_only=True):
    """Who had a part in the content."""

    contributor: Annotated[AgentName | None, Element("contributor", 1)] = None
    roles: Annotated[tuple[ContributorRole, ...], Element("contributorRole")] = ()


class Publisher(Node, frozen=True, gc=False, kw_only=True):
    """Who brought the content to the public."""

    publisher: Annotated[AgentName | None, Element("publisher", 1)] = None
    roles: Annotated[tuple[Text, ...], Element("publisherRole")] = ()


class Rights(Node, frozen=True, gc=False, kw_only=True):
    """One statement of rights: as text, as a link, or as embedded XML."""

    choice: ClassVar[bool] = True
    summary: Annotated[Text | None, Element("rightsSummary")] = None
    link: Annotated[Link | None, Element("rightsLink")] = None
    embedded: Annotated[Embedded | None, Element("rightsEmbedded")] = None
    start_time: str | None = None
    end_time: str | None = None
    time_annotation: str | None = None


class ExtensionWrap(Node, frozen=True, gc=False, kw_only=True):
    """One element of another standard, as name and value."""

    element: Annotated[Plain | None, Element("extensionElement", 1)] = None
    value: Annotated[Plain | None, Element("extensionValue", 1)] = None
    authority: Annotated[Plain | None, Element("extensionAuthorityUsed")] = None
    source: str | None = None
    ref: str | None = None
    version: str | None = None
    annotation: str | None = None


class Extension(Node, frozen=True, gc=False, kw_only=True):
    """Elements of other standards: wrapped ones or embedded ones, never both, and at least one."""

    choice: ClassVar[bool] = True
    wraps: Annotated[tuple[ExtensionWrap, ...], Element("extensionWrap")] = ()
    embedded: Annotated[tuple[Embedded, ...], Element("extensionEmbedded")] = ()


class EssenceTrack(Node, frozen=True, gc=False, kw_only=True):
    """One stream in an instantiation."""

    type: Annotated[Text | None, Element("essenceTrackType")] = None
    identifiers: Annotated[tuple[Text, ...], Element("essenceTrackIdentifier")] = ()
    standard: Annotated[Text | None, Element("essenceTrackStandard")] = None
    encoding: Annotated[Text | None, Element("essenceTrackEncoding")] = None
    data_rate: Annotated[Measure | None, Element("essenceTrackDataRate")] = None
    frame_rate: Annotated[Measure | None, Element("essenceTrackFrameRate")] = None
    playback_speed: Annotated[Measure | None, Element("essenceTrackPlaybackSpeed")] = None
    sampling_rate: Annotated[Measure | None, Element("essenceTrackSamplingRate")] = None
    bit_depth: Annotated[Measure | None, Element("essenceTrackBitDepth")] = None
    frame_size: Annotated[Measure | None, Element("essenceTrackFrameSize")] = None
    aspect_ratio: Annotated[Measure | None, Element("essenceTrackAspectRatio")] = None
    time_start: Annotated[Text | None, Element("essenceTrackTimeStart")] = None
    duration: Annotated[Text | None, Element("essenceTrackDuration")] = None
    languages: Annotated[tuple[Language, ...], Element("essenceTrackLanguage")] = ()
    annotations: Annotated[tuple[Annotation, ...], Element("essenceTrackAnnotation")] = ()
    extensions: Annotated[tuple[Extension, ...], Element("essenceTrackExtension")] = ()
    source: str | None = None
    ref: str | None = None
    version: str | None = None
    annotation: str | None = None


class Instantiation(Node, frozen=True, gc=False, kw_only=True):
    """One carrier or file that manifests an asset."""

    identifiers: Annotated[tuple[Identifier, ...], Element("instantiationIdentifier", 1)] = ()
    dates: Annotated[tuple[DateText, ...], Element("instantiationDate")] = ()
    dimensions: Annotated[tuple[Measure, ...], Element("instantiationDimensions")] = ()
    physical: Annotated[Text | None, Element("instantiationPhysical")] = None
    digital: Annotated[Text | None, Element("instantiationDigital")] = None
    standard: Annotated[Standard | None, Element("instantiationStandard")] = None
    location: Annotated[Text | None, Element("instantiationLocation", 1)] = None
    media_type: Annotated[Text | None, Element("instantiationMediaType")] = None
    generations: Annotated[tuple[Text, ...], Element("instantiationGenerations")] = ()
    file_size: Annotated[Measure | None, Element("instantiationFileSize")] = None
    time_start: Annotated[Text | None, Element("instantiationTimeStart")] = None
    duration: Annotated[Text | None, Element("instantiationDuration")] = None
    data_rate: Annotated[Measure | None, Element("instantiationDataRate")] = None
    colors: Annotated[Text | None, Element("instantiationColors")] = None
    tracks: Annotated[Text | None, Element("instantiationTracks")] = None
    channel_configuration: Annotated[Text | None, Element("instantiationChannelConfiguration")] = None
    languages: Annotated[tuple[Language, ...], Element("instantiationLanguage")] = ()
    alternative_modes: Annotated[Text | None, Element("instantiationAlternativeModes")] = None
    essence_tracks: Annotated[tuple[EssenceTrack, ...], Element("instantiationEssenceTrack")] = ()
    relations: Annotated[tuple[InstantiationRelation, ...], Element("instantiationRelation")] = ()
    rights: Annotated[tuple[Rights, ...], Element("instantiationRights")] = ()
    annotations: Annotated[tuple[Annotation, ...], Element("instantiationAnnotation")] = ()
    parts: Annotated[tuple[Instantiation, ...], Element("instantiationPart")] = ()
    extensions: Annotated[tuple[Extension, ...], Element("instantiationExtension")] = ()
    start_time: str | None = None
    end_time: str | None = None
    time_annotation: str | None = None
    source: str | None = None
    ref: str | None = None
    version: str | None = None
    annotation: str | None = None
    evidence: Evidence | None = None  # the row of a sheet that it came from


class Asset(Node, frozen=True, gc=False, kw_only=True):
    """The intellectual content, with the carriers and files that manifest it: a PBCore description document."""

    asset_types: Annotated[tuple[Text, ...], Element("pbcoreAssetType")] = ()
    dates: Annotated[tuple[DateText, ...], Element("pbcoreAssetDate")] = ()
    identifiers: Annotated[tuple[Identifier, ...], Element("pbcoreIdentifier", 1)] = ()
    titles: Annotated[tuple[Title, ...], Element("pbcoreTitle", 1)] = ()
    subjects: Annotated[tuple[Subject, ...], Element("pbcoreSubject")] = ()
    descriptions: Annotated[tuple[Description, ...], Element("pbcoreDescription", 1)] = ()
    genres: Annotated[tuple[TimedText, ...], Element("pbcoreGenre")] = ()
    relations: Annotated[tuple[AssetRelation, ...], Element("pbcoreRelation")] = ()
    coverages: Annotated[tuple[Coverage, ...], Element("pbcoreCoverage")] = ()
    audience_levels: Annotated[tuple[Text, ...], Element("pbcoreAudienceLevel")] = ()
    audience_ratings: Annotated[tuple[Text, ...], Element("pbcoreAudienceRating")] = ()
    creators: Annotated[tuple[Creator, ...], Element("pbcoreCreator")] = ()
    contributors: Annotated[tuple[Contributor, ...], Element("pbcoreContributor")] = ()
    publishers: Annotated[tuple[Publisher, ...], Element("pbcorePublisher")] = ()
    rights: Annotated[tuple[Rights, ...], Element("pbcoreRightsSummary")] = ()
    instantiations: Annotated[tuple[Instantiation, ...], Element("pbcoreInstantiation")] = ()
    annotations: Annotated[tuple[Annotation, ...], Element("pbcoreAnnotation")] = ()
    parts: Annotated[tuple[Part, ...], Element("pbcorePart")] = ()
    extensions: Annotated[tuple[Extension, ...], Element("pbcoreExtension")] = ()
    source: str | None = None
    ref: str | None = None
    version: str | None = None
    annotation: str | None = None
    evidence: Evidence | None = None  # the row of a sheet that it came from


class Part(Asset, frozen=True, gc=False, kw_only=True):
    """A whole description of a part of an asset. The two `title_type_*` attributes are the published schema's own."""

    start_time: str | None = None
    end_time: str | None = None
    time_annotation: str | None = None
    part_type: str | None = None
    part_type_source: str | None = None
    part_type_ref: str | None = None
    title_type_version: str | None = None
    title_type_annotation: str | None = None


class Collection(Node, frozen=True, gc=False, kw_only=True):
    """A list of assets that travel together. Large ones are streamed, so `assets` is filled only for small ones."""

    assets: Annotated[tuple[Asset, ...], Element("pbcoreDescriptionDocument", 1)] = ()
    collection_title: str | None = None
    collection_description: str | None = None
    collection_source: str | None = None
    collection_ref: str | None = None
    collection_date: str | None = None
    source: str | None = None
    ref: str | None = None
    version: str | None = None
    annotation: str | None = None


Record: TypeAlias = Asset | Instantiation  # what one document may describe

ROOTS: dict[str, type[Node]] = {
    "pbcoreCollection": Collection,
    "pbcoreDescriptionDocument": Asset,
    "pbcoreInstantiationDocument": Instantiation,
}
LEVELS: dict[str, type[Node]] = {"asset": Asset, "instantiation": Instantiation, "track": EssenceTrack}


class Attribute(msgspec.Struct, frozen=True):
    """One attribute of a class: the field, the name in XML, whether a valid document must have it."""

    field: str
    name: str
    required: bool


class Child(msgspec.Struct, frozen=True):
    """One kind of child element of a class. `path` is the short name that mappings and sheet columns use."""

    field: str
    element: str
    cls: type[Node]
    many: bool
    least: int
    path: str


class Shape(msgspec.Struct, frozen=True):
    """What a class looks like as XML."""

    cls: type[Node]
    content: Literal["text", "xml", "children"]
    attributes: tuple[Attribute, ...]
    children: tuple[Child, ...]
    choice: bool

    def child(self, path: str) -> Child | None:
        """The child with that short name, or None."""
        return next((child for child in self.children if child.path == path), None)


@cache
def shape(cls: type[Node]) -> Shape:
    """What a class of the model looks like as XML, derived from its annotations.

    >>> shape(Asset).child("title").element
    'pbcoreTitle'
    >>> [attribute.name for attribute in shape(Measure).attributes]
    ['source', 'ref', 'version', 'annotation', 'unitsOfMeasure']
    """
    hints = get_type_hints(cls, include_extras=True)
    attributes, children = [], []
    for field in cls.__struct_fields__:
        if field in ("text", "xml", "evidence"):
            continue
        marks = get_args(hints[field])[1:] if get_origin(hints[field]) is Annotated else ()
        element = next((mark for mark in marks if isinstance(mark, Element)), None)
        if element is None:
            attributes.append(Attribute(field, _camel(field), any(isinstance(mark, Required) for mark in marks)))
        else:
            children.append(_child(field, element, get_args(hints[field])[0]))
    content: Literal["text", "xml", "children"] = "children"
    if "text" in cls.__struct_fields__:
        content = "text"
    elif "xml" in cls.__struct_fields__:
        content = "xml"
    return Shape(cls, content, tuple(attributes), tuple(children), cls.choice)


def _child(field: str, element: Element, hint: object) -> Child:
    many = get_origin(hint) is tuple
    options = get_args(hint)
    if not (many or get_origin(hint) in (Union, types.UnionType)):
        raise TypeError(f"{field}: a child is a tuple or optional")
    cls = next(option for option in options if option not in (type(None), ...))
    return Child(field, element.name, cls, many, element.least, _path(element.name))


def _camel(field: str) -> str:
    first, *rest = field.split("_")
    return first + "".join(word.capitalize() for word in rest)


def _path(element: str) -> str:
    short = re.sub(r"^(pbcoreAsset|pbcore|instantiation|essenceTrack)(?=[A-Z])", "", element)
    return re.sub(r"(?<=[a-z])(?=[A-Z])", "-", short).lower()


AnyNode = TypeVar("AnyNode", bound=Node)


def located(node: AnyNode, row: int = 0) -> AnyNode:
    """The same node, every evidence in it with its row: `row`, or that of the record or carrier which it stands in.

    >>> carrier = Instantiation(physical=Text("VHS", evidence=Evidence("vhs", "a.csv")), evidence=Evidence("", row=7))
    >>> located(carrier).physical.evidence.row, located(carrier).evidence
    (7, None)
    """
    evidence: Evidence | None = getattr(node, "evidence", None)
    if isinstance(node, Value):
        if evidence is None or evidence.row or not row:
            return node
        return msgspec.structs.replace(node, evidence=msgspec.structs.replace(evidence, row=row))
    changed: dict[str, Any] = {}
    if evidence is not None:
        row, changed["evidence"] = evidence.row or row, None
    for child in shape(type(node)).children if row else _of_rows(type(node)):
        held = getattr(node, child.field)
        new = tuple([located(one, row) for one in held]) if child.many else held and located(held, row)
        if new is not held and not (child.many and all(map(is_, new, held))):
            changed[child.field] = new
    return msgspec.structs.replace(node, **changed) if changed else node


@cache
def _of_rows(cls: type[Node]) -> tuple[Child, ...]:
    """The children that may have come from a row of their own."""
    return tuple(child for child in shape(cls).children if issubclass(child.cls, (Asset, Instantiation)))
