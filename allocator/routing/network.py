"""The route network of a problem: one object that answers every question about ways through the machine."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from itertools import pairwise
from math import fsum

from allocator.once import once
from allocator.problem import Line, Problem
from allocator.routing.graph import Graph, Link, build_graph
from allocator.routing.routes import CappedRoutes, Fan, Route, RouteError, Way, non_dominated_ways, shortest_ways
from allocator.routing.sentences import why_none
from allocator.routing.steiner import EXACT_ENDS, SteinerTrees
from allocator.routing.trees import Tree, stretches

Asked = tuple[str, str, Line, frozenset[int]]
"""What routes are asked for: from where, to where, for which line, round which segments."""

FanKey = tuple[str, float, Line, frozenset[int]]


class Network:
    """Routes and trees through the segments of a problem; straight between places where it has no segments.

    Who asks for a way says whether a wire or a cable (``line``) is to take it: a segment may be for one of them
    only. Answers are kept, so one network serves a whole run (`network_of`). Lengths are compared in whole nanometres,
    ties go by place names, and the same problem always gives the same answers.
    """

    def __init__(self, problem: Problem):
        self.problem = problem
        self._fans: dict[FanKey, Fan] = {}
        self._shortest: dict[tuple[str, Line], dict[str, Way]] = {}
        self._routes: dict[Asked, tuple[Route, ...]] = {}
        self._followed: dict[tuple[str, ...], Route] = {}
        self._trees: dict[tuple[str, tuple[str, ...]], Tree] = {}

    @cached_property
    def _graph(self) -> Graph:
        return build_graph(self.problem)

    @cached_property
    def _open(self) -> dict[Line, Graph]:
        return {line: self._graph.open_to(line) for line in Line}

    @cached_property
    def _steiner(self) -> SteinerTrees:
        return SteinerTrees(self._open[Line.WIRE])

    def capped(self, asked: Iterable[Asked]) -> tuple[CappedRoutes, ...]:
        """Where a cap left out some of the routes that were asked for, by the place they start from.

        ``asked`` are the questions as they were put to `routes`; empty where every answer was complete.
        """
        cut_at: dict[str, set[str]] = {}
        gone_round: dict[str, set[str]] = {}
        for key in {self._fan_key(*one) for one in asked if one[0] != one[1]} & set(self._fans):
            start, _, _, around = key
            if self._fans[key].cut_at:
                cut_at.setdefault(start, set()).update(self._fans[key].cut_at)
                gone_round.setdefault(start, set()).update(self._names(around))
        return tuple(
            CappedRoutes(start, tuple(sorted(places)), tuple(sorted(gone_round[start])))
            for start, places in sorted(cut_at.items())
        )

    def routes(
        self, start: str, end: str, line: Line = Line.WIRE, around: frozenset[int] = frozenset()
    ) -> tuple[Route, ...]:
        """Routes that no other of the same insulation asked for beats in length, ambient and bulkheads crossed at once.

        Sorted by length, then place names. Without coordinates or a chain of segments there are none.

        Parameters
        ----------
        line
            What is to take the route, a wire or a cable: it passes no segment that is for the other only.
        around
            Numbers of segments that ways round are sought for: which of them a route passes counts as well, sets
            compared by inclusion. So a longer route stays if it goes round one that all shorter ones pass.

        Raises
        ------
        RouteError
            If the problem has no such place.
        """
        self._known(start, end)
        key = (start, end, line, around)
        if key not in self._routes:
            self._routes[key] = tuple(self.follow(way) for way in self._worthwhile(*key))
        return self._routes[key]

    def shortest(self, start: str, end: str, line: Line = Line.WIRE) -> Route:
        """The shortest route open to a wire, or to a cable, ties by place names.

        Raises
        ------
        RouteError
            If nothing joins the two places, or one is unknown.
        """
        self._known(start, end)
        way = self._ways_from(start, line).get(end)
        if way is None:
            raise RouteError(self._why_none(start, end, line))
        return self.follow(way[1])

    def forbidden(self, route: Route, line: Line) -> tuple[int, ...]:
        """Numbers of the segments on a route that a wire, or a cable, may not pass, in order of passing."""
        segments = self.problem.segments
        return tuple(number for number in route.segments if segments[number].only not in (None, line))

    def follow(self, places: Sequence[str]) -> Route:
        """The route along these places, each a neighbour of the one before, whatever may pass there.

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

    def stud_of(self, place: str, line: Line = Line.WIRE) -> str | None:
        """The place with the nearest ground stud for a wire, or for a cable, from here; None if there is no stud.

        Nearest by route length, ties by name.

        Raises
        ------
        RouteError
            If the problem has studs, but nothing joins the place with any of them.
        """
        self._known(place)
        studs = [other.name for other in self.problem.places if other.stud_a is not None]
        if not studs:
            return None
        ways = self._ways_from(place, line)
        within_reach = [(ways[stud][0], stud) for stud in studs if stud in ways]
        if not within_reach:
            raise RouteError(self._why_none(place, min(studs), line))
        return min(within_reach)[1]

    def tree(self, root: str, ends: Iterable[str]) -> Tree:
        """The shortest tree of wires that joins a place with all the others named (Steiner tree).

        Exact for up to `EXACT_ENDS` ends; beyond, an approximation that says so. Of equally long
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
            if end not in self._ways_from(root, Line.WIRE):
                raise RouteError(self._why_none(root, end, Line.WIRE))
        if len(far) > EXACT_ENDS:
            exact, edges = False, self._steiner.approximate(root, far)
        else:
            exact, edges = True, self._steiner.exact(root, far)
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
            exact=exact,
        )

    def _ways_from(self, start: str, line: Line) -> dict[str, Way]:
        key = (start, line)
        if key not in self._shortest:
            if self._graph.direct:
                links = self._graph.links[start]
                straight = {end: (link.length_nm, (start, end)) for end, link in links.items()}
                self._shortest[key] = {start: (0, (start,)), **straight}
            else:
                self._shortest[key] = shortest_ways(self._open[line], start)
        return self._shortest[key]

    def _worthwhile(self, start: str, end: str, line: Line, around: frozenset[int]) -> Iterable[tuple[str, ...]]:
        """Places of the non-dominated routes: on a network made from coordinates, the straight one alone."""
        if start == end or self._graph.direct:
            way = self._ways_from(start, line).get(end)
            return () if way is None else (way[1],)
        key = self._fan_key(start, end, line, around)
        if key not in self._fans:
            asked_c = self.problem.wire_rules.insulation_c
            self._fans[key] = non_dominated_ways(self._open[line], start, key[1], asked_c, around)
        return (places for _, places in self._fans[key].ways[end])

    def _fan_key(self, start: str, end: str, line: Line, around: frozenset[int]) -> FanKey:
        """By what routes from a place are kept: an end that is no warmer than others changes nothing."""
        floor_c = max(self.problem.place_ambient_c(start), self.problem.place_ambient_c(end))
        return start, floor_c, line, around

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

    def _link(self, a: str, b: str) -> Link:
        link = self._graph.links[a].get(b)
        if link is not None:
            return link
        if self._graph.direct and a != b:
            raise RouteError(self._why_none(a, b, Line.WIRE))
        raise RouteError(f"No segment joins '{a}' and '{b}'. Name every place between, or add the segment.")

    def _known(self, *places: str) -> None:
        for place in places:
            if place not in self.problem.place:
                raise RouteError(f"'{place}' is not a place of this problem. Correct the name, or add it.")

    def _why_none(self, start: str, end: str, line: Line) -> str:
        way = shortest_ways(self._graph, start).get(end)
        closed = () if way is None else self.forbidden(self.follow(way[1]), line)
        return why_none(self._graph, start, end, line, self._names(closed))

    def _names(self, segments: Iterable[int]) -> list[str]:
        return [self.problem.segments[number].name for number in segments]


@once
def network_of(problem: Problem) -> Network:
    """The route network of a problem: it depends on the problem alone, so whoever asks gets the same one."""
    return Network(problem)
