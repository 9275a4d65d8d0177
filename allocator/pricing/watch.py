"""Segments that are watched: rows on their bundles are made, and what lies in them is told apart."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Watch:
    """What a search has met so far of bundles; a pricing and its model look at these segments only.

    ``bundles``: segments whose wires are held together, each with the squares (``sum d^2`` in mm2) at which the rows on
    its heat are exact; none of these where it is held by the table. ``cables``: segments whose cables are counted.
    """

    bundles: Mapping[int, tuple[float, ...]] = field(default_factory=dict)
    cables: frozenset[int] = frozenset()

    def __bool__(self) -> bool:
        return bool(self.bundles or self.cables)

    @property
    def segments(self) -> frozenset[int]:
        """All that are watched for anything."""
        return frozenset(self.bundles) | self.cables

    def __or__(self, other: Watch) -> Watch:
        bundles = {
            e: tuple(sorted({*self.bundles.get(e, ()), *other.bundles.get(e, ())}))
            for e in sorted({*self.bundles, *other.bundles})
        }
        return Watch(bundles, self.cables | other.cables)

    def of(self, segments: Iterable[int], *, cable: bool) -> tuple[int, ...]:
        """Those of some segments that matter to a cable, or to a wire: it lies in the bundle, or is what lies beside."""
        watched = self.cables if cable else self.segments
        return tuple(sorted({e for e in segments if e in watched}))
