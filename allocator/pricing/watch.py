"""Segments that are watched: rows on their bundles are made, and what lies in them is told apart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Watch:
    """What a search has met so far of bundles; a pricing and its model look at these segments only.

    ``bundles``: segments whose wires are held together, each with the squares (``sum d^2`` in mm2) at which the rows on
    its heat are exact; none of these where it is held by the table. ``cables``: segments whose cables are counted.
    ``feeds``: currents in A at which the heat of a slot's feed is exact, where feeds lie inside.
    """

    bundles: Mapping[int, tuple[float, ...]] = field(default_factory=dict)
    cables: frozenset[int] = frozenset()
    feeds: Mapping[int, tuple[float, ...]] = field(default_factory=dict)

    def __bool__(self) -> bool:
        return bool(self.bundles or self.cables)

    @property
    def segments(self) -> frozenset[int]:
        """All that are watched for anything."""
        return frozenset(self.bundles) | self.cables

    def __or__(self, other: Watch) -> Watch:
        return Watch(
            _joined(self.bundles, other.bundles), self.cables | other.cables, _joined(self.feeds, other.feeds)
        )



def _joined(one: Mapping[int, tuple[float, ...]], other: Mapping[int, tuple[float, ...]]) -> dict[int, tuple[float, ...]]:
    return {n: tuple(sorted({*one.get(n, ()), *other.get(n, ())})) for n in sorted({*one, *other})}
