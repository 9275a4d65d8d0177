"""Longer ways round: where bundles count, a wire may be worth sending by an emptier route."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from typing import TYPE_CHECKING

from allocator.clock import heed_clock
from allocator.routing.graph import Graph

if TYPE_CHECKING:
    import networkx

MOST_WAYS = 3
"""Routes of one pair of places that are listed where bundles count, the non-dominated ones among them."""


class Detours:
    """The nearest simple routes of a graph (J. Y. Yen, Management Science 17, 1971, by networkx)."""

    def __init__(self, graph: Graph):
        self._links = graph.links
        self._cut: set[tuple[str, str]] = set()

    @property
    def cut_short(self) -> tuple[str, ...]:
        """A sentence on the pairs of places that have more routes than were listed; none where all were."""
        if not self._cut:
            return ()
        (start, end), count = min(self._cut), len(self._cut)
        return (
            f"Routes to avoid full bundles: the {MOST_WAYS} nearest are listed for {count} pairs of places that have "
            f"more, '{start}' to '{end}' among them.",
        )

    def beside(self, start: str, end: str, known: Iterable[tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
        """The nearest routes that are not ``known``, so that there are up to `MOST_WAYS` in all, nearest first."""
        listed = set(known)
        room = MOST_WAYS - len(listed)
        if start == end:
            return ()
        heed_clock()
        others = (way for way in self._nearest(start, end) if way not in listed)
        found = tuple(islice(others, max(0, room)))
        if next(others, None) is not None:
            self._cut.add((start, end))
        return found

    def _nearest(self, start: str, end: str) -> Iterator[tuple[str, ...]]:
        import networkx

        return map(tuple, networkx.shortest_simple_paths(self._graph(), start, end, weight="nm"))

    def _graph(self) -> networkx.Graph[str]:
        import networkx

        if not hasattr(self, "_made"):
            graph: networkx.Graph[str] = networkx.Graph()
            graph.add_nodes_from(sorted(self._links))
            graph.add_edges_from(
                (a, b, {"nm": link.length_nm})
                for a, links in sorted(self._links.items())
                for b, link in sorted(links.items())
            )
            self._made = graph
        return self._made
