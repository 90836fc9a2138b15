"""Different records whose identifiers differ in case or white space only. The review does not tell by its tolerant
reading which of them it opens, so it opens the one that it spells exactly."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from crosswalk.mapping.assemble import Assembled
from crosswalk.records import Asset
from crosswalk.rights.review import Review
from crosswalk.values.folding import fold


def identifiers(asset: Asset) -> list[str]:
    """The identifiers of an asset, as they are spelled."""
    return [identifier.text for identifier in asset.identifiers]


class Namesakes:
    """Follows the records of a run. Only when all have passed is it known which of them share a folded identifier."""

    def __init__(self, review: Review) -> None:
        self._review = review
        self._spelled: dict[str, str] = {}
        self.shared: set[str] = set()  # folded identifiers that two records spell differently

    def passing(self, records: Iterable[Assembled]) -> Iterator[Assembled]:
        """The same records, their identifiers noted as they pass."""
        for assembled in records:
            own = identifiers(assembled.asset)
            self.shared.update(key for text in own if self._spelled.get(key := fold(text), text) != text)
            self._spelled.update((fold(text), text) for text in own)
            yield assembled

    def meant_for_another(self, asset: Asset) -> str:
        """The identifier by which the review seems to open an asset, where another record may be meant; "" where the
        review spells one of its identifiers exactly, or no other record has it."""
        ruled = [text for text in identifiers(asset) if fold(text) in self._review.rulings]
        if any(self._review.spells(text) or fold(text) not in self.shared for text in ruled):
            return ""
        return ruled[0] if ruled else ""

    def decided_in(self, text: str) -> str:
        """The cell of the ruling on an identifier."""
        return self._review.of([text]).decided_in
