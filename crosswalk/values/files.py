"""Digital files: wordings and file names to IANA media types, and the encodings of their tracks."""

from __future__ import annotations

import re
from functools import lru_cache

from crosswalk.values.phrases import LONGEST, distinct, of_vocabulary, words
from crosswalk.values.reading import Context, Doubt, How, Reading, refused
from crosswalk.vocabularies import load, near

_EXTENSION = re.compile(r"\.([A-Za-z0-9]{2,5})\s*$")


def read_file_format(text: str, context: Context) -> Reading:
    """The IANA media type that a wording, an extension or a file name means; `also` may hold the container and an
    encoding that the wording names besides.

    >>> reading = read_file_format("MOV file, H264", Context())
    >>> reading.value, reading.also
    ('video/quicktime', (('container', 'QuickTime'), ('encoding', 'H.264')))
    """
    return _file_format(text, context.house_files)


def read_encoding(text: str, context: Context) -> Reading:
    """The name of the encoding that a wording means.

    >>> read_encoding("ProRes 422 (HQ)", Context()).value
    'Apple ProRes 422 HQ'
    """
    return _encoding(text, context.house_files)


@lru_cache(maxsize=8192)
def _file_format(text: str, house_files: tuple[str, ...]) -> Reading:
    vocabulary = load("file-formats", *house_files)
    wording = text.strip()
    if wording in vocabulary.by_name:
        return _with_container(Reading(wording, How.EXACT), house_files)
    if not words(wording) or len(wording) > LONGEST:
        return refused("VO03", "this names no file format")
    extension = _EXTENSION.search(wording)
    entry = vocabulary.find(wording) or (vocabulary.find(extension[1]) if extension else None)
    if entry is not None:
        return _with_container(Reading(entry.name, How.ALIAS, rule=f"file-formats: {wording[-60:]}"), house_files)
    return _inside(wording, house_files)


def _inside(wording: str, house_files: tuple[str, ...]) -> Reading:
    """A format named inside a longer wording. What is also the name of an encoding (MPEG-2, JPEG 2000) is taken for a
    format only where nothing else is named."""
    found = of_vocabulary("file-formats", *house_files).scan(words(wording))
    also_encodings = of_vocabulary("encodings", *house_files).meanings
    firm = distinct(term for key, term in found if key not in also_encodings) or distinct(term for _, term in found)
    encodings = distinct(term for _, term in of_vocabulary("encodings", *house_files).scan(words(wording)))
    told = tuple(("encoding", term.name) for term in encodings)
    if not firm:
        meant = tuple(n.term for n in near(load("file-formats", *house_files), wording))
        return Reading(None, How.UNREAD, (Doubt("VO01", f'"{wording[:60]}" names no file format', meant),), also=told)
    choices = tuple(term.name for term in firm)
    doubts = (Doubt("VO02", f"{len(choices)} file formats in one cell", choices),) if len(choices) > 1 else ()
    reading = Reading(choices[0], How.PATTERN, doubts, "file-formats: a format inside the wording")
    return _with_container(reading, house_files, told)


def _with_container(reading: Reading, house_files: tuple[str, ...], told: tuple[tuple[str, str], ...] = ()) -> Reading:
    container = load("file-formats", *house_files).fact(reading.value or "", "container", "")
    also = (("container", str(container)), *told) if container else told
    return Reading(reading.value, reading.how, reading.doubts, reading.rule, also)


@lru_cache(maxsize=8192)
def _encoding(text: str, house_files: tuple[str, ...]) -> Reading:
    vocabulary = load("encodings", *house_files)
    wording = text.strip()
    if wording in vocabulary.by_name:
        return Reading(wording, How.EXACT)
    if not words(wording) or len(wording) > LONGEST:
        return refused("VO03", "this names no encoding")
    entry = vocabulary.find(wording)
    if entry is not None:
        return Reading(entry.name, How.ALIAS, rule=f"encodings: {wording}")
    terms = distinct(term for _, term in of_vocabulary("encodings", *house_files).scan(words(wording)))
    choices = tuple(term.name for term in terms)
    if not choices:
        return refused("VO01", f'"{wording[:60]}" names no encoding', *(n.term for n in near(vocabulary, wording)))
    doubts = (Doubt("VO02", f"{len(choices)} encodings in one cell", choices),) if len(choices) > 1 else ()
    return Reading(choices[0], How.PATTERN, doubts, "encodings: an encoding inside the wording")
