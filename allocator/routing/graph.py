"""The network as links between places, from the segments or, without any, straight from x, y and z."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations
from math import dist

from allocator.problem import Line, Place, Problem, Segment

HOP_NM = 2

Burden = tuple[float, float, float, float]
"""What a segment takes from the ampacity of a line: one over its factor, the wires and the loading stated for it, and 1
where wires may lie beside a cable."""

LIGHT: Burden = (1.0, 1.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Link:
    """What joins two places: a segment, or a straight line (``segment`` None).

    ``burden``: what makes a line carry less there. ``length_nm`` is what lengths are compared by: whole numbers add up
    alike in every order, so that 0.1 m + 0.2 m ties with 0.3 m.
    """

    length_m: float
    length_nm: int
    ambient_c: float
    insulation_c: float = 0.0
    bulkhead: str | None = None
    segment: int | None = None
    only: Line | None = None
    burden: Burden = LIGHT


@dataclass(frozen=True, slots=True)
class Graph:
    """Links by place and neighbour, in order of names.

    ``direct``: made from coordinates, so every placed pair has its link.
    """

    links: Mapping[str, Mapping[str, Link]]
    direct: bool

    def open_to(self, line: Line) -> Graph:
        """The links that may be passed by a wire, or by a cable."""
        links = {
            name: {there: link for there, link in row.items() if link.only in (None, line)}
            for name, row in self.links.items()
        }
        return Graph(links, self.direct)


def build_graph(problem: Problem) -> Graph:
    """Links of the segments of a problem or, where it has none, between all places with coordinates."""
    return _from_segments(problem) if problem.segments else _from_coordinates(problem)


def _from_segments(problem: Problem) -> Graph:
    links = {
        (segment.start, segment.end): Link(
            length_m=segment.length_m,
            length_nm=_nanometres(segment.length_m),
            ambient_c=problem.segment_ambient_c(segment),
            insulation_c=segment.insulation_c or 0.0,
            bulkhead=segment.bulkhead,
            segment=index,
            only=segment.only,
            burden=_burden(problem, segment),
        )
        for index, segment in enumerate(problem.segments)
    }
    return Graph(_both_ways(problem, links), direct=False)


def _burden(problem: Problem, segment: Segment) -> Burden:
    wires, loading = problem.stated_of(segment)
    return (1.0 / segment.factor, float(wires), loading, float(segment.only is not Line.CABLE))


def _from_coordinates(problem: Problem) -> Graph:
    placed = sorted((place for place in problem.places if place.located), key=lambda place: place.name)
    links: dict[tuple[str, str], Link] = {}
    for one, other in combinations(placed, 2):
        length_m = dist(_point(one), _point(other)) * problem.margins.route_factor
        links[one.name, other.name] = Link(
            length_m=length_m,
            # the extra keeps rounding from making a stop at a third place on the line look shorter
            length_nm=_nanometres(length_m) + HOP_NM,
            ambient_c=max(problem.place_ambient_c(one.name), problem.place_ambient_c(other.name)),
        )
    return Graph(_both_ways(problem, links), direct=True)


def _both_ways(problem: Problem, links: Mapping[tuple[str, str], Link]) -> dict[str, dict[str, Link]]:
    table: dict[str, dict[str, Link]] = {name: {} for name in sorted(problem.place)}
    for (a, b), link in links.items():
        table[a][b] = link
        table[b][a] = link
    return {name: dict(sorted(row.items())) for name, row in table.items()}


def _point(place: Place) -> tuple[float, float, float]:
    return (place.x_m or 0.0, place.y_m or 0.0, place.z_m or 0.0)


def _nanometres(length_m: float) -> int:
    return round(length_m * 1e9)
