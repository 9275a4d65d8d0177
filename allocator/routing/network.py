"""The route network of a problem: one object that answers every question about ways through the machine."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from itertools import pairwise
from math import fsum

from allocator.problem import Bundling, Problem
from allocator.routing.detours import Detours
from allocator.routing.graph import Graph, Link, build_graph
from allocator.routing.routes import (
    MOST_ROUTES,
    Fan,
    Route,
    RouteError,
    Way,
    non_dominated_ways,
    shortest_ways,
)
from allocator.routing.steiner import EXACT_ENDS, SteinerTrees
from allocator.routing.trees import Tree, stretches


class Network:
    """Routes and trees through the segments of a problem; straight between places where it has no segments.

    Answers are kept, so one network should serve a whole run. Lengths are compared in whole nanometres, ties
    go by place names, and the same problem always gives the same answers.
    """

    def __init__(self, problem: Problem):
        self.problem = problem
        self._fans: dict[tuple[str, float], Fan] = {}
        self._shortest: dict[str, dict[str, Way]] = {}
        self._routes: dict[tuple[str, str], tuple[Route, ...]] = {}
        self._followed: dict[tuple[str, ...], Route] = {}
        self._trees: dict[tuple[str, tuple[str, ...]], Tree] = {}
        self._near: set[str] = set()

    @cached_property
    def _graph(self) -> Graph:
        return build_graph(self.problem)

    @cached_property
    def _steiner(self) -> SteinerTrees:
        return SteinerTrees(self._graph)

    @cached_property
    def _detours(self) -> Detours | None:
        """Where bundles count and there are segments to avoid; else None."""
        counts = self.problem.margins.bundle is not Bundling.NONE
        return Detours(self._graph) if counts and not self._graph.direct else None

    @property
    def cut_short(self) -> tuple[str, ...]:
        """What was left out of the answers given so far, one sentence each; empty when nothing was."""
        cut_at: dict[str, set[str]] = {}
        for (start, _), fan in self._fans.items():
            cut_at.setdefault(start, set()).update(fan.cut_at)
        capped = [_capped(start, sorted(places)) for start, places in sorted(cut_at.items()) if places]
        around = () if self._detours is None else self._detours.cut_short
        return (*capped, *sorted(self._near), *around)

    def routes(self, start: str, end: str) -> tuple[Route, ...]:
        """Routes that no other of the same insulation asked for beats in length, ambient and bulkheads crossed at once.

        Sorted by length, then place names. Without coordinates or a chain of segments there are none. Where
        bundles count, the nearest others stand among them: one of these may be the emptier one.

        Raises
        ------
        RouteError
            If the problem has no such place.
        """
        self._known(start, end)
        if (start, end) not in self._routes:
            places = tuple(self._worthwhile(start, end))
            if self._detours is not None and places:
                others = self._detours.beside(start, end, places)
                places = tuple(sorted((*places, *others), key=lambda way: (self._length_nm(way), way)))
            self._routes[start, end] = tuple(self.follow(way) for way in places)
        return self._routes[start, end]

    def shortest(self, start: str, end: str) -> Route:
        """The shortest route, ties by place names.

        Raises
        ------
        RouteError
            If nothing joins the two places, or one is unknown.
        """
        self._known(start, end)
        way = self._ways_from(start).get(end)
        if way is None:
            raise RouteError(self._why_none(start, end))
        return self.follow(way[1])

    def follow(self, places: Sequence[str]) -> Route:
        """The route along these places, each a neighbour of the one before.

        On a network made from coordinates every stop on the way counts for the ambient, for the wire is taken
        to run from stop to stop.

        Raises
        ------
        RouteError
            If two neighbours have no segment between them, or a place is unknown.
        """
        key = tuple(places)
        if key not in self._followed:
            self._followed[key] = self._follow(key)
        return self._followed[key]

    def stud_of(self, place: str) -> str | None:
        """The place with the nearest ground stud by route length, ties by name; None if there is no stud.

        Raises
        ------
        RouteError
            If the problem has studs, but nothing joins the place with any of them.
        """
        self._known(place)
        studs = [other.name for other in self.problem.places if other.stud_a is not None]
        if not studs:
            return None
        ways = self._ways_from(place)
        within_reach = [(ways[stud][0], stud) for stud in studs if stud in ways]
        if not within_reach:
            raise RouteError(self._why_none(place, min(studs)))
        return min(within_reach)[1]

    def tree(self, root: str, ends: Iterable[str]) -> Tree:
        """The shortest tree that joins a place with all the others named (Steiner tree).

        Exact for up to `EXACT_ENDS` ends; beyond, an approximation, and `cut_short` says so. Of equally long
        trees one with fewest links, and of these always the same. It branches at places only, also where the
        network is made from coordinates.

        Raises
        ------
        RouteError
            If nothing joins the root with one of the ends, or a place is unknown.
        """
        far = tuple(sorted(set(ends) - {root}))
        self._known(root, *far)
        if (root, far) not in self._trees:
            self._trees[root, far] = self._tree(root, far)
        return self._trees[root, far]

    def _tree(self, root: str, far: tuple[str, ...]) -> Tree:
        for end in far:
            if end not in self._ways_from(root):
                raise RouteError(self._why_none(root, end))
        if len(far) > EXACT_ENDS:
            self._near.add(
                f"The tree from '{root}' to {len(far)} places is an approximation, at most twice as long as "
                f"the shortest: trees are exact for up to {EXACT_ENDS} places."
            )
            edges = self._steiner.approximate(root, far)
        else:
            edges = self._steiner.exact(root, far)
        links = [self._link(a, b) for a, b in edges]
        places = [self.problem.place_ambient_c(name) for name in (root, *far)]
        return Tree(
            root=root,
            ends=far,
            edges=edges,
            length_m=fsum(link.length_m for link in links),
            ambient_c=max([*places, *(link.ambient_c for link in links)]),
            insulation_c=max((link.insulation_c for link in links), default=0.0),
            bulkheads=tuple(link.bulkhead for link in links if link.bulkhead is not None),
            pieces=stretches(root, edges, {root, *far}),
        )

    def _ways_from(self, start: str) -> dict[str, Way]:
        if start not in self._shortest:
            if self._graph.direct:
                links = self._graph.links[start]
                straight = {end: (link.length_nm, (start, end)) for end, link in links.items()}
                self._shortest[start] = {start: (0, (start,)), **straight}
            else:
                self._shortest[start] = shortest_ways(self._graph, start)
        return self._shortest[start]

    def _worthwhile(self, start: str, end: str) -> Iterable[tuple[str, ...]]:
        """Places of the non-dominated routes: on a network made from coordinates, the straight one alone."""
        if start == end or self._graph.direct:
            way = self._ways_from(start).get(end)
            return () if way is None else (way[1],)
        floor_c = max(self.problem.place_ambient_c(start), self.problem.place_ambient_c(end))
        if (start, floor_c) not in self._fans:
            self._fans[start, floor_c] = non_dominated_ways(
                self._graph, start, floor_c, self.problem.wire_rules.insulation_c
            )
        fan = self._fans[start, floor_c]
        return (places for _, places in fan.ways[end])

    def _follow(self, places: tuple[str, ...]) -> Route:
        if not places:
            raise RouteError("A route without places. Name at least one.")
        self._known(*places)
        links = [self._link(a, b) for a, b in pairwise(places)]
        ends = [self.problem.place_ambient_c(places[0]), self.problem.place_ambient_c(places[-1])]
        return Route(
            places=places,
            length_m=fsum(link.length_m for link in links),
            ambient_c=max([*ends, *(link.ambient_c for link in links)]),
            insulation_c=max((link.insulation_c for link in links), default=0.0),
            bulkheads=tuple(link.bulkhead for link in links if link.bulkhead is not None),
            segments=tuple(link.segment for link in links if link.segment is not None),
        )

    def _length_nm(self, places: tuple[str, ...]) -> int:
        return sum(self._link(a, b).length_nm for a, b in pairwise(places))

    def _link(self, a: str, b: str) -> Link:
        link = self._graph.links[a].get(b)
        if link is not None:
            return link
        if self._graph.direct and a != b:
            raise RouteError(self._why_none(a, b))
        raise RouteError(f"No segment joins '{a}' and '{b}'. Name every place between, or add the segment.")

    def _known(self, *places: str) -> None:
        for place in places:
            if place not in self.problem.place:
                raise RouteError(f"'{place}' is not a place of this problem. Correct the name, or add it.")

    def _why_none(self, start: str, end: str) -> str:
        head = f"No route from '{start}' to '{end}'"
        without = " and ".join(f"'{name}'" for name in (start, end) if not self._graph.links[name])
        if self._graph.direct:
            return f"{head}: no x, y and z for {without}. Give them in the places, or give segments."
        if without:
            return f"{head}: no segment ends at {without}. Add one."
        return f"{head}: no chain of segments joins them. Add the segment that is missing."


def _capped(start: str, places: list[str]) -> str:
    shown = ", ".join(f"'{place}'" for place in places[:3])
    others = f" and {len(places) - 3} more" if len(places) > 3 else ""
    return (
        f"Routes from '{start}' to or by way of {shown}{others}: the {MOST_ROUTES} shortest were kept, and longer "
        "ones only where cooler, with other insulation asked for, or crossing a bulkhead less often than all of them."
    )
