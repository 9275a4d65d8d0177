"""The shortest tree between places of the network: exact for as many ends as circuits have, else near."""

from __future__ import annotations

from collections.abc import Collection
from functools import cached_property
from typing import TYPE_CHECKING

from allocator.clock import heed_clock
from allocator.routing.graph import Graph
from allocator.routing.routes import RouteError
from allocator.routing.trees import Edge, outward

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

EXACT_ENDS = 12
LONGEST_NM = 10**14
_OUT_OF_REACH = 1 << 57
_LINKS = 10


class SteinerTrees:
    """Shortest trees of one graph, for any root and ends (Dreyfus and Wagner, Networks 1, 1971; from memory).

    Costs are whole numbers: the length in nm in the high bits, the number of links in the low ten. So of
    equally long trees one with fewest links is taken, and of these always the same. What is computed for a
    set of ends serves every root, and every set that holds it. Ends are sets of bits, a bit per place in
    order of names.

    Raises
    ------
    RouteError
        If lengths are beyond what the whole numbers hold (100 km in a chain of all places).
    """

    def __init__(self, graph: Graph):
        self._graph = graph
        self._names = sorted(graph.links)
        self._number = {name: n for n, name in enumerate(self._names)}
        self._joined: dict[int, NDArray[np.int64]] = {}
        longest = max((link.length_nm for row in graph.links.values() for link in row.values()), default=0)
        if longest * len(self._names) > LONGEST_NM:
            raise RouteError("Segments add up to more than 100 km. Check the units of their lengths.")

    def exact(self, root: str, ends: Collection[str]) -> tuple[Edge, ...]:
        """Edges of the shortest tree, pointing away from the root. All ends must be within reach of it."""
        found: set[tuple[int, int]] = set()
        if wanted := sum(1 << self._number[end] for end in {*ends} - {root}):
            self._trace(wanted, self._number[root], found)
        return self._outward(root, found)

    def approximate(self, root: str, ends: Collection[str]) -> tuple[Edge, ...]:
        """Edges of a tree at most twice as long as the shortest (Mehlhorn, by networkx)."""
        import networkx as nx
        from networkx.algorithms.approximation import steiner_tree

        # numbers, not names, as nodes: the order of a set of texts changes from process to process
        graph: nx.Graph[int] = nx.Graph()
        for a, row in sorted(self._graph.links.items()):
            for b, link in row.items():
                graph.add_edge(self._number[a], self._number[b], weight=_cost(link.length_nm))
        reach = nx.Graph(graph.subgraph(sorted(nx.node_connected_component(graph, self._number[root]))))
        terminals = sorted({self._number[name] for name in (root, *ends)})
        tree = steiner_tree(reach, terminals, weight="weight", method="mehlhorn")
        return self._outward(root, tree.edges)

    @cached_property
    def _step(self) -> NDArray[np.int64]:
        """Cost of the link between two places, (places, places); without a link: out of reach."""
        import numpy as np

        step = np.full((len(self._names), len(self._names)), _OUT_OF_REACH, dtype=np.int64)
        np.fill_diagonal(step, 0)
        for a, row in self._graph.links.items():
            for b, link in row.items():
                step[self._number[a], self._number[b]] = _cost(link.length_nm)
        return step

    @cached_property
    def _apart(self) -> NDArray[np.int64]:
        """Cost of the shortest way between two places, (places, places) (Floyd and Warshall)."""
        import numpy as np

        apart = self._step.copy()
        for middle in range(len(apart)):
            np.minimum(apart, apart[:, middle, None] + apart[None, middle, :], out=apart)
        return apart

    def _join(self, wanted: int) -> NDArray[np.int64]:
        """Least cost of a tree that joins the wanted ends with each place, (places,).

        Of one end its distance; of more, two trees to complementary parts that meet at some place, and the
        shortest way from there.
        """
        if wanted not in self._joined:
            if wanted & (wanted - 1):
                self._joined[wanted] = (self._meet(wanted) + self._apart).min(axis=1)
            else:
                self._joined[wanted] = self._apart[wanted.bit_length() - 1]
        return self._joined[wanted]

    def _meet(self, wanted: int) -> NDArray[np.int64]:
        """Least cost of two trees to complementary parts of the ends that meet at each place, (places,)."""
        import numpy as np

        best = np.full(len(self._names), _OUT_OF_REACH, dtype=np.int64)
        for part in _parts(wanted):
            heed_clock()
            np.minimum(best, self._join(part) + self._join(wanted ^ part), out=best)
        return best

    def _trace(self, wanted: int, here: int, found: set[tuple[int, int]]) -> None:
        """Collect the edges behind ``_join(wanted)[here]``."""
        if not wanted & (wanted - 1):
            self._trace_way(here, wanted.bit_length() - 1, found)
            return
        meet = self._meet(wanted)
        junction = int((meet + self._apart[here]).argmin())
        self._trace_way(here, junction, found)
        part = next(
            part
            for part in _parts(wanted)
            if self._join(part)[junction] + self._join(wanted ^ part)[junction] == meet[junction]
        )
        self._trace(part, junction, found)
        self._trace(wanted ^ part, junction, found)

    def _trace_way(self, here: int, there: int, found: set[tuple[int, int]]) -> None:
        while here != there:
            on_the_way = self._step[here] + self._apart[:, there]
            on_the_way[here] = 2 * _OUT_OF_REACH
            nearer = int(on_the_way.argmin())
            found.add((here, nearer))
            here = nearer

    def _outward(self, root: str, edges: Collection[tuple[int, int]]) -> tuple[Edge, ...]:
        return outward(root, [(self._names[a], self._names[b]) for a, b in edges])


def _cost(length_nm: int) -> int:
    return (length_nm << _LINKS) + 1


def _parts(wanted: int) -> list[int]:
    """Every way to cut a set of bits in two, as the part without its lowest bit."""
    rest = wanted & (wanted - 1)
    parts = []
    part = rest
    while part:
        parts.append(part)
        part = (part - 1) & rest
    return parts
