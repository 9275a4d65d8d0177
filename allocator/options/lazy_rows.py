"""Lazy constraints: the segments whose rows are in the model by now; what lies in them is told apart."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import chain
from typing import NamedTuple, TypeVar


class WarmBundle(NamedTuple):
    """A bundle whose middle is so warm, or warmer, in a condition: segment, condition, degC."""

    segment: int
    condition: int
    body_c: float


@dataclass(frozen=True)
class LazyRows:
    """The rows on bundles that a search has added so far; an option list and its model look at these segments only.

    ``bundles``: segments whose wires are held together, each with the squares (``sum d^2`` in mm2) at which the rows on
    its heat are exact; none of these where it is held by the table. ``conditions``: those in which one was too warm.
    ``hottest_w_m``: the least that the hottest wire of one that was too warm added at its trip. ``cables``: segments
    whose cables are counted, up to how many side by side; more than that are taken to warm each other no more, until
    they are met. ``feeds``: currents in A at which the heat of a slot's feed is exact, where feeds lie inside.
    ``warm``: sets of warm bundles between which a circuit lost too much on its wires; each of ``bundles`` too.
    ``kept_back``: the share of the heat allowed that rows leave unused: above 0 they find a layout sooner, and prove
    nothing.
    """

    bundles: Mapping[int, tuple[float, ...]] = field(default_factory=dict)
    conditions: Mapping[int, tuple[int, ...]] = field(default_factory=dict)
    hottest_w_m: Mapping[int, float] = field(default_factory=dict)
    cables: Mapping[int, int] = field(default_factory=dict)
    feeds: Mapping[int, tuple[float, ...]] = field(default_factory=dict)
    warm: tuple[tuple[WarmBundle, ...], ...] = ()
    kept_back: float = 0.0

    def __bool__(self) -> bool:
        return bool(self.bundles or self.cables)

    @property
    def simplest(self) -> LazyRows:
        """The part of it that costs a search least, to be added first: cables, then heat, then drops."""
        if self.cables:
            return LazyRows(cables=self.cables)
        heat = {e for e in self.bundles if e in self.hottest_w_m or not self.conditions.get(e)}
        if not heat:
            return self
        return replace(
            self,
            bundles={e: steps for e, steps in self.bundles.items() if e in heat},
            conditions={e: found for e, found in self.conditions.items() if e in heat},
            warm=(),
        )

    @property
    def segments(self) -> frozenset[int]:
        """All segments with lazy rows."""
        return frozenset(self.bundles) | frozenset(self.cables)

    def levels(self, segment: int, condition: int) -> tuple[WarmBundle, ...]:
        """The temperatures at which a bundle is told apart in a condition."""
        own = {one for some in self.warm for one in some if (one.segment, one.condition) == (segment, condition)}
        return tuple(sorted(own))

    def __or__(self, other: LazyRows) -> LazyRows:
        return LazyRows(
            bundles=_joined(self.bundles, other.bundles),
            conditions=_joined(self.conditions, other.conditions),
            hottest_w_m={e: min(found) for e, found in _both(self.hottest_w_m, other.hottest_w_m)},
            cables={e: max(found) for e, found in _both(self.cables, other.cables)},
            feeds=_joined(self.feeds, other.feeds),
            warm=tuple(sorted({*self.warm, *other.warm})),
            kept_back=max(self.kept_back, other.kept_back),
        )


T = TypeVar("T")
Figure = TypeVar("Figure", int, float)


def _both(one: Mapping[int, T], other: Mapping[int, T]) -> Iterator[tuple[int, list[T]]]:
    """What each of two has, by number."""
    for n in sorted({*one, *other}):
        yield n, [own[n] for own in (one, other) if n in own]


def _joined(
    one: Mapping[int, tuple[Figure, ...]], other: Mapping[int, tuple[Figure, ...]]
) -> dict[int, tuple[Figure, ...]]:
    return {n: tuple(sorted(set(chain.from_iterable(found)))) for n, found in _both(one, other)}
