"""Routes: what a wire passes, the few that are worth looking at, and the shortest."""

from __future__ import annotations

import heapq
from collections import Counter
from collections.abc import Hashable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from operator import le
from typing import TypeVar

from allocator.clock import heed_clock
from allocator.routing.graph import LIGHT, Graph, Link

MOST_ROUTES = 24

Key = TypeVar("Key", bound=Hashable)
Way = tuple[int, tuple[str, ...]]
Worth = tuple[float, ...]
Label = tuple[Way, Worth, int]


class RouteError(ValueError):
    """There is no such route; the text says what would do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """A way through the network.

    ``ambient_c`` is the hottest of its segments and of its two end places, ``insulation_c`` the highest that
    its segments ask for (0.0: none asks). ``bulkheads`` stand in order of crossing, one name per crossing;
    ``segments`` are indices into ``Problem.segments`` (none on routes made from coordinates).
    """

    places: tuple[str, ...]
    length_m: float
    ambient_c: float
    insulation_c: float = 0.0
    bulkheads: tuple[str, ...] = ()
    segments: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Fan:
    """The non-dominated ways from one place to every other, and the places where a cap cut some off."""

    ways: Mapping[str, tuple[Way, ...]]
    cut_at: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CappedRoutes:
    """Routes from one place of which only the shortest and the better ones were kept.

    ``places`` are those where some were left out, ``around`` the names of the segments that ways round were sought for.
    """

    start: str
    places: tuple[str, ...]
    around: tuple[str, ...]


def crossings(routes: Mapping[Key, Route]) -> dict[str, dict[Key, int]]:
    """How often each of the named routes crosses each bulkhead; what never crosses is left out."""
    table: dict[str, dict[Key, int]] = {}
    for key, route in routes.items():
        for bulkhead, times in Counter(route.bulkheads).items():
            table.setdefault(bulkhead, {})[key] = times
    return dict(sorted(table.items()))


def shortest_ways(graph: Graph, start: str) -> dict[str, Way]:
    """Length in nm and places of the shortest way to every place in reach, ties by place names (Dijkstra)."""
    settled: dict[str, Way] = {}
    heap: list[Way] = [(0, (start,))]
    while heap:
        length, places = heapq.heappop(heap)
        here = places[-1]
        if here in settled:
            continue
        settled[here] = (length, places)
        for there, link in graph.links[here].items():
            if there not in settled:
                heapq.heappush(heap, (length + link.length_nm, (*places, there)))
    return settled


def non_dominated_ways(
    graph: Graph, start: str, ambient_c: float, asked_c: float, around: AbstractSet[int] = frozenset()
) -> Fan:
    """Ways from a place that no other way beats in every respect, by label setting.

    Respects are length, hottest ambient, what conduit or a stated bundle takes from the ampacity, for each bulkhead how
    often it is crossed, and for each segment of ``around`` whether it is passed: of these, sets compare by inclusion.
    Ways that ask for different insulation never beat each other: where more is asked for, better wire is taken, and
    that may be the thinner one.
    Labels are settled by length, then place names; one that an earlier label at its place equals or beats in
    every respect is dropped (label setting after Martins, European Journal of Operational Research 16, 1984;
    reference from memory), but one that asks for more than every wire only for a label that, before it asked
    for so much, had been nowhere else: it may still turn to where the other came from. (Missed is a way that asks
    for more only after a place to which an earlier label came by way of where the way goes later: one that goes the
    long way round to need better wire.) Of equal ways the first by names stays. Once `MOST_ROUTES` labels stand at a
    place, only one that beats them all in some respect joins them.

    Parameters
    ----------
    graph
        Places and what joins them.
    start
        The place that the ways start from.
    ambient_c
        Ambient temperature of the end places in degC: no way counts as cooler.
    asked_c
        Insulation temperature in degC asked of every wire: no way asks for less.
    around
        Numbers of the segments that a way may have to go round.

    Raises
    ------
    TimeUpError
        When the time of `clock` is up.
    """
    links = [link for row in graph.links.values() for link in row.values()]
    counted: list[str | int] = [*sorted({link.bulkhead for link in links if link.bulkhead}), *sorted(around)]
    kept: dict[str, list[Label]] = {name: [] for name in graph.links}
    cut: set[str] = set()
    worth: Worth = (ambient_c, asked_c, -asked_c, *LIGHT, *[0.0] * len(counted))
    heap: list[tuple[int, tuple[str, ...], Worth, int]] = [(0, (start,), worth, 0)]
    while heap:
        heed_clock()
        length, places, worth, before = heapq.heappop(heap)
        here = places[-1]
        if _beaten(places, worth, kept[here]):
            continue
        if len(kept[here]) >= MOST_ROUTES and not _record(worth, kept[here]):
            cut.add(here)
            continue
        kept[here].append(((length, places), worth, before))
        for there, link in graph.links[here].items():
            if there not in places:
                further = _further(worth, link, counted)
                if not _beaten((*places, there), further, kept[there]):
                    asked_since = before if further[1] == worth[1] else len(places)
                    heapq.heappush(heap, (length + link.length_nm, (*places, there), further, asked_since))
    return Fan({name: tuple(_best(labels)) for name, labels in kept.items()}, tuple(sorted(cut)))


def _best(labels: list[Label]) -> Iterator[Way]:
    """Of labels that stand, in rising order of length, those that no earlier one beats now that both have arrived."""
    for n, (way, worth, _) in enumerate(labels):
        if not any(_as_good(other, worth) for _, other, _ in labels[:n]):
            yield way


def _further(worth: Worth, link: Link, counted: Sequence[str | int]) -> Worth:
    """What a way is worth beyond one more link; ``counted`` are bulkheads by name and segments by number."""
    ambient_c, asked_c, _, *rest = worth
    burden, counts = map(max, rest[: len(LIGHT)], link.burden), rest[len(LIGHT) :]
    for passed in (link.bulkhead, link.segment):
        if passed in counted:
            counts[counted.index(passed)] += 1
    asked_c = max(asked_c, link.insulation_c)
    # asked for is held both ways up, so that only equal ones compare
    return (max(ambient_c, link.ambient_c), asked_c, -asked_c, *burden, *counts)


def _beaten(places: tuple[str, ...], worth: Worth, labels: list[Label]) -> bool:
    return any(_as_good(other, worth) and set(way[1][:before]) <= set(places) for way, other, before in labels)


def _as_good(other: Worth, worth: Worth) -> bool:
    return all(map(le, other, worth))


def _record(worth: Worth, labels: list[Label]) -> bool:
    columns = zip(*(other for _, other, _ in labels), strict=True)
    return any(value < min(column) for value, column in zip(worth, columns, strict=True))
