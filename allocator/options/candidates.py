"""Circuits that one output could feed: single loads, and the sets that a share word allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import combinations

from allocator.clock import heed_clock
from allocator.options.cut_short import Cut, CutShort
from allocator.options.load_groups import LoadGroup
from allocator.problem import Problem
from allocator.routing import Network, RouteError

MOST_PER_WORD = 400
"""Most candidate sets of one share word; where more are possible the nearest are taken and the layout says so."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A circuit that could be: ``members`` holds (index of a load group, how many of its loads)."""

    index: int
    members: tuple[tuple[int, int], ...]

    @property
    def single(self) -> bool:
        """Whether it feeds one load."""
        return len(self.members) == 1 and self.members[0][1] == 1


def candidates(
    problem: Problem, network: Network, load_groups: Sequence[LoadGroup], most_a: float
) -> tuple[tuple[Candidate, ...], tuple[CutShort, ...]]:
    """All circuits that are worth listing, and what a cap has cut.

    A set that takes more members of a function than may fail together "against output" is left out here: no wiring
    could make up for it.

    Parameters
    ----------
    problem
        The problem with its functions.
    network
        What wires may pass.
    load_groups
        Its loads, those that are interchangeable together.
    most_a
        The largest full current that any single output carries, in A.

    Raises
    ------
    TimeUpError
        When the time of `clock` is up.
    """
    members: list[tuple[tuple[int, int], ...]] = [((group.index, 1),) for group in load_groups]
    cut: list[CutShort] = []
    words = sorted({group.sample.share for group in load_groups if group.sample.share is not None})
    for word in words:
        sharing = [g for g in load_groups if g.sample.share == word and not g.sample.bridge]
        sets, more = _sets_of(network, sharing, most_a)
        members += sets
        if more:
            cut.append(CutShort(Cut.SETS, (word, len(sets))))
    limits = [(f, len(_named(problem, f.loads)) - f.survive) for f in problem.functions if "output" in f.against]
    kept = [m for m in members if all(_counted(load_groups, m, f.loads) <= limit for f, limit in limits)]
    return tuple(Candidate(n, m) for n, m in enumerate(kept)), tuple(cut)


def _named(problem: Problem, names: tuple[str, ...]) -> set[str]:
    return {load.name for load in problem.loads if load.name in names or load.item in names}


def _counted(load_groups: Sequence[LoadGroup], members: tuple[tuple[int, int], ...], names: tuple[str, ...]) -> int:
    return sum(n for g, n in members if load_groups[g].sample.name in names or load_groups[g].sample.item in names)


def _sets_of(
    network: Network, sharing: list[LoadGroup], most_a: float
) -> tuple[list[tuple[tuple[int, int], ...]], bool]:
    """Sets of two loads or more that one output could carry, the nearest first."""
    limit = most_a * (1.0 + 1e-9)
    spans: dict[frozenset[str], float] = {}

    def span(counts: tuple[int, ...]) -> float:
        places = frozenset(g.sample.place for g, n in zip(sharing, counts, strict=True) if n)
        if places not in spans:
            spans[places] = _spanning_length(network, sorted(places))
        return spans[places]

    start = tuple(0 for _ in sharing)
    heap = [(0.0, 0, start)]
    seen = {start}
    found: list[tuple[tuple[int, int], ...]] = []
    while heap:
        heed_clock()
        _, size, counts = heappop(heap)
        if size >= 2:
            if len(found) == MOST_PER_WORD:
                return found, True
            found.append(tuple((g.index, n) for g, n in zip(sharing, counts, strict=True) if n))
        for position, group in enumerate(sharing):
            if counts[position] == len(group.loads):
                continue
            grown = (*counts[:position], counts[position] + 1, *counts[position + 1 :])
            if grown in seen or not _together_possible(sharing, grown, limit):
                continue
            seen.add(grown)
            heappush(heap, (span(grown), size + 1, grown))
    return found, False


def _together_possible(sharing: list[LoadGroup], counts: tuple[int, ...], limit: float) -> bool:
    current = sum(n * g.sample.full_current_a for g, n in zip(sharing, counts, strict=True))
    pins = {(g.sample.unit, g.sample.output) for g, n in zip(sharing, counts, strict=True) if n and g.sample.unit}
    units = {unit for unit, _ in pins}
    outputs = {output for _, output in pins if output is not None}
    return current <= limit and len(units) <= 1 and len(outputs) <= 1


def _spanning_length(network: Network, places: list[str]) -> float:
    """Length of the shortest tree over direct distances: a cheap measure of how near the places are."""
    import networkx

    graph: networkx.Graph[str] = networkx.Graph()
    graph.add_nodes_from(places)
    for a, b in combinations(places, 2):
        try:
            graph.add_edge(a, b, weight=network.shortest(a, b).length_m)
        except RouteError:
            return float("inf")
    return float(networkx.minimum_spanning_tree(graph).size(weight="weight"))
