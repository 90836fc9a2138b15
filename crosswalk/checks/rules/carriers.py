"""What cannot be true of a carrier: both physical and digital, older than its format, longer than it holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from crosswalk.checks.place import Place, below
from crosswalk.checks.rules.facts import CarrierFacts, carrier_facts, day_bounds, length_ms
from crosswalk.findings import Finding, Origin, finding
from crosswalk.records import DateText, Instantiation, Plain

SIGNALS = {"digital": "digital", "analogue": "analogue", "analog": "analogue"}
_DIGITAL_ONLY = {"file_size": "instantiationFileSize", "data_rate": "instantiationDataRate"}


def physical_or_digital(node: Instantiation, path: str, place: Place) -> Iterable[Finding]:
    """RC20: an analogue carrier with a digital format. RC21: a physical and a digital format in one description.

    >>> both = Instantiation(physical=Plain("DVD"), digital=Plain("video/mp4"))
    >>> [f.code for f in physical_or_digital(both, "", Place())]
    ['RC21']
    """
    if node.physical is None:
        return ()
    if node.digital is None:
        return _digital_measures(node, node.physical, path, place)
    origin = place.at(below(path, "instantiationDigital"), node.digital)
    both = f'"{node.physical.text}" and "{node.digital.text}"'
    if carrier_facts(node.physical.text).domain == "analogue":
        return (finding("RC20", origin, f"one carrier is described as {both}; the first is analogue", value=both),)
    return (finding("RC21", origin, f"one description holds {both}", value=both),)


def _digital_measures(node: Instantiation, physical: Plain, path: str, place: Place) -> Iterable[Finding]:
    if node.file_size is None and node.data_rate is None:
        return ()
    if carrier_facts(physical.text).domain != "analogue":
        return ()
    filled = [name for field, name in _DIGITAL_ONLY.items() if getattr(node, field) is not None]
    origin = place.at(below(path, filled[0]))
    return (finding("RC22", origin, f'"{physical.text}" is analogue and has {" and ".join(filled)}'),)


def after_introduction(node: Instantiation, path: str, place: Place) -> Iterable[Finding]:
    """RC30: the carrier is dated before its format came on the market."""
    if node.physical is None or not node.dates:
        return ()
    facts = carrier_facts(node.physical.text)
    if facts.introduced is None:
        return ()
    for number, stated in enumerate(node.dates, 1):
        last = day_bounds(stated.text)[1]
        if last is not None and last.year < facts.introduced:
            origin = place.at(below(path, f"instantiationDate[{number}]"), stated)
            return (_too_early(stated, facts, origin),)
    return ()


def _too_early(stated: DateText, facts: CarrierFacts, origin: Origin) -> Finding:
    message = f"{facts.name} came on the market in {facts.introduced}; the carrier is dated {stated.text}"
    return finding("RC30", origin, message, value=stated.text)


def within_capacity(node: Instantiation, path: str, place: Place) -> Iterable[Finding]:
    """DU13: the duration does not fit on the carrier. A tenth above the usual length is allowed: tapes run over."""
    if node.physical is None or node.duration is None:
        return ()
    capacity = carrier_facts(node.physical.text).capacity_ms
    length = length_ms(node.duration.text)
    if capacity is None or length is None or length <= capacity * 1.1:
        return ()
    origin = place.at(below(path, "instantiationDuration"), node.duration)
    minutes = capacity // 60_000
    message = f"{node.duration.text} does not fit on {node.physical.text}, which holds {minutes} minutes at most"
    return (finding("DU13", origin, message, value=node.duration.text),)


def claimed_signal(node: Instantiation, path: str, place: Place) -> Iterable[Finding]:
    """RC20: an annotation says "digital" or "analogue", and nothing more, of a carrier that is the other.

    >>> from crosswalk.records import Annotation
    >>> tape = Instantiation(physical=Plain("VHS"), annotations=(Annotation("Digital"),))
    >>> [f.code for f in claimed_signal(tape, "", Place())]
    ['RC20']
    """
    return _claims(node, node.physical, path, place) if node.physical is not None and node.annotations else ()


def _claims(node: Instantiation, physical: Plain, path: str, place: Place) -> Iterator[Finding]:
    for number, said in enumerate(node.annotations, 1):
        claimed = SIGNALS.get(said.text.strip().casefold())
        if claimed is None:
            continue
        domain = carrier_facts(physical.text).domain
        if domain in SIGNALS.values() and domain != claimed:
            origin = place.at(below(path, f"instantiationAnnotation[{number}]"), said)
            message = f'"{physical.text}" is {domain}; the sheet says "{said.text}"'
            yield finding("RC20", origin, message, value=said.text)


INSTANTIATION = (physical_or_digital, claimed_signal, after_introduction, within_capacity)
