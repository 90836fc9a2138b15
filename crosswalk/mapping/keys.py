"""The asset key of a row: parts that are columns, or put together from columns, such as `{Series}-{Prog No}`."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TypeAlias

from crosswalk.mapping.templates import Template

KeyPart: TypeAlias = Callable[[list[str]], str]  # of the texts of a row


def key_parts(
    written: Sequence[str], named: Callable[[str], int | None], value: Callable[[int, list[str]], str]
) -> list[KeyPart]:
    """What gives the parts of a row's key, those left out that the sheet has no column of. `value` is that of a cell.

    >>> parts = key_parts(["{Series}-{No}"], ["Series", "No"].index, lambda index, texts: texts[index])
    >>> parts[0](["TDLN", "0423"])
    'TDLN-0423'
    """
    parts: list[KeyPart] = []
    for part in written:
        template = Template.parse(part)
        if template.headings:
            template.bind(named)
            parts.append(partial(_put_together, template, value))
        elif (index := named(part)) is not None:
            parts.append(partial(value, index))
    return parts


def _put_together(template: Template, value: Callable[[int, list[str]], str], texts: list[str]) -> str:
    found = template.fill(lambda index: value(index, texts))
    return found[0] if found else ""
