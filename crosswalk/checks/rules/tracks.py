"""Essence tracks against the media type of the instantiation that holds them."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from crosswalk.checks.place import Place, below
from crosswalk.checks.rules.facts import carrier_facts, plain_key
from crosswalk.findings import Finding, finding
from crosswalk.records import Instantiation

_NEEDS = {"movingimage": "video", "audio": "audio"}  # media type: the kind of track without which it is not one
_RULES_OUT = {"audio": "video"}  # media type: the kind of track that it cannot have


def tracks_agree(node: Instantiation, path: str, place: Place) -> Iterable[Finding]:
    """RC40: the tracks are not those of the media type: sound with a picture, moving images without one.

    >>> from crosswalk.records import EssenceTrack, Text
    >>> sound = Instantiation(media_type=Text("Audio"), essence_tracks=(EssenceTrack(type=Text("Video")),))
    >>> [f.message for f in tracks_agree(sound, "", Place())]
    ['the media type is Audio, and there is a video track']
    """
    if node.media_type is None or not node.essence_tracks:
        return ()
    kinds = tuple([track.type.text for track in node.essence_tracks if track.type is not None])
    message = _contradiction(node.media_type.text, kinds)
    if not message:
        return ()
    origin = place.at(below(path, "instantiationMediaType"), node.media_type)
    return (finding("RC40", origin, message, value=node.media_type.text),)


@lru_cache(maxsize=1024)
def _contradiction(text: str, kinds: tuple[str, ...]) -> str:
    """What is contradictory in a media type and kinds of tracks; empty where nothing is."""
    media, tracks = plain_key(text), {plain_key(kind) for kind in kinds}
    excluded, needed = _RULES_OUT.get(media), _NEEDS.get(media)
    if excluded in tracks:
        return f"the media type is {text}, and there is a {excluded} track"
    if tracks and needed and needed not in tracks and tracks <= {"audio", "video"}:
        return f"the media type is {text}, and no track is {needed}"
    return ""


def carrier_agrees(node: Instantiation, path: str, place: Place) -> Iterable[Finding]:
    """RC41: an audio carrier is said to hold moving images."""
    if node.media_type is None or node.physical is None or plain_key(node.media_type.text) != "movingimage":
        return ()
    if carrier_facts(node.physical.text).kind != "audio":
        return ()
    origin = place.at(below(path, "instantiationMediaType"), node.media_type)
    message = f"{node.physical.text} holds sound only, and the media type is {node.media_type.text}"
    return (finding("RC41", origin, message, value=node.media_type.text),)


INSTANTIATION = (tracks_agree, carrier_agrees)
