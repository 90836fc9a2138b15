"""Texts for values: a good one for each simple type, and the ones that its limits are probed with."""

from __future__ import annotations

from typing import Any

# Tried in turn; the first that the type accepts is its sample. An empty text comes last.
_GOOD = (
    "words", "eng", "2.0", "2009-03-14", "2009-03-14T10:20:30Z", "archive@example.org", "YYYY-MM-DD", "no", "7", "true",
    "deleted", "badVerb", "Identify", "Temporal", "Sound", "https://example.org/a", "",
)  # fmt: skip

# Edges of the patterns, lists and built-in types that these schemas use.
PROBES = (
    "", " ", "words", "two words", " words ", "zażółć \U0001f4fc", "a\nb", "&<>\"'",
    "eng", "ENG", "Eng", "en", "engl", "eng;fra", "eng; fra", "eng;fra;deu", "eng;;fra", ";eng", "eng;", "eng,fra",
    "engfra", " eng", "eng ", "e1g", "en-GB", "en_GB", "x", "é", "-",
    "Spatial", "spatial", "SPATIAL", "Spatial ", "Temporal", "temporal", "Other",
    "2009", "2009-03", "2009-13", "2009-03-14", "2009-02-30", "2009-03-14Z", "2009-03-14+01:00", "2009-03-14T10:20:30",
    "2009-03-14T10:20:30Z", "2009-03-14T10:20:30.5Z", "2009-03-14T10:20Z", "2009-03-14T10:20:30+01:00", "14.3.2009",
    "-0044", "09", "1985/1990", "c. 1969",
    "https://example.org/a", "https://example.org/a b", "urn:x", "http://[", "%zz", "a#b#c", "::", "example.org",
    "0", "1", "-1", "1.5", "1e3", "+7", "true",
    "a@b", "a@b.c", "a b@c.d", "archive@example.org", "mailto:archive@example.org",
    "oai_dc", "oai dc", "oai:dc", "a:b:c", "a:", "marc(21)", "a/b",
    "no", "yes", "persistent", "transient", "deleted", "Deleted", "YYYY-MM-DD", "YYYY-MM-DDThh:mm:ssZ", "2.0", "2.1",
    "badVerb", "badArgument", "cannotDisseminateFormat", "idDoesNotExist", "badResumptionToken", "noMetadataFormats",
    "noRecordsMatch", "noSetHierarchy", "Identify", "ListSets", "ListRecords", "ListIdentifiers", "GetRecord",
    "ListMetadataFormats", "identify",
    "Collection", "Dataset", "Event", "Image", "InteractiveResource", "MovingImage", "PhysicalObject", "Service",
    "Software", "Sound", " Sound ", "StillImage", "Text", "Moving Image", "movingimage",
)  # fmt: skip

# What is enough for a type without limits; the last is no address, no token, no name.
FEW = ("", " ", "two words", "zażółć \U0001f4fc", "a\nb", "&<>\"'", "::%zz")


def sample(kind: Any) -> str:
    """A text that the type accepts; the empty one where it takes no text at all."""
    simple = kind.simple_type if kind.is_complex() else kind
    if simple is None:
        return "words" if kind.mixed else ""
    return next(text for text in _GOOD if simple.is_valid(text))


def probes(kind: Any) -> tuple[str, ...]:
    """The texts to try on a type: a few for plain strings, all of them for every other."""
    simple = kind.simple_type if kind.is_complex() else kind
    plain = simple is None or simple.name == "{http://www.w3.org/2001/XMLSchema}string"
    return FEW if plain else PROBES
