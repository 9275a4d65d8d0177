"""The network as links between places, from the segments or, without any, straight from x, y and z."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import dist

from allocator.problem import Place, Problem

HOP_NM = 2


@dataclass(frozen=True, slots=True)
class Link:
    """What joins two places: a segment, or a straight line (``segment`` None).

    ``length_nm`` is what lengths are compared by: whole numbers add up alike in every order, so that
    0.1 m + 0.2 m ties with 0.3 m.
    """

    length_m: float
    length_nm: int
    ambient_c: float
    insulation_c: float = 0.0
    bulkhead: str | None = None
    segment: int | None = None


@dataclass(frozen=True, slots=True)
class Graph:
    """Links by place and neighbour, in order of names.

    ``direct``: made from coordinates, so every placed pair has its link. ``notes`` says what was left out.
    """

    links: Mapping[str, Mapping[str, Link]]
    direct: bool
    notes: tuple[str, ...] = ()


def build_graph(problem: Problem) -> Graph:
    """Links of the segments of a problem or, where it has none, between all places with coordinates."""
    return _from_segments(problem) if problem.segments else _from_coordinates(problem)


def _from_segments(problem: Problem) -> Graph:
    chosen: dict[tuple[str, str], Link] = {}
    doubled: set[tuple[str, str]] = set()
    for index, segment in enumerate(problem.segments):
        if segment.start == segment.end:
            continue
        pair = _pair(segment.start, segment.end)
        link = Link(
            length_m=segment.length_m,
            length_nm=_nanometres(segment.length_m),
            ambient_c=problem.ambient_c if segment.ambient_c is None else segment.ambient_c,
            insulation_c=segment.insulation_c or 0.0,
            bulkhead=segment.bulkhead,
            segment=index,
        )
        if pair in chosen:
            doubled.add(pair)
        if pair not in chosen or link.length_nm < chosen[pair].length_nm:
            chosen[pair] = link
    notes = tuple(
        f"More than one segment joins '{a}' and '{b}': only the shortest is used. "
        "Put a place in the middle of the other one to have both."
        for a, b in sorted(doubled)
    )
    return Graph(_both_ways(problem, chosen), direct=False, notes=notes)


def _from_coordinates(problem: Problem) -> Graph:
    placed = sorted((place for place in problem.places if place.x_m is not None and place.y_m is not None),
                    key=lambda place: place.name)
    links: dict[tuple[str, str], Link] = {}
    for n, one in enumerate(placed):
        for other in placed[n + 1:]:
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
    for (a, b), link in sorted(links.items(), key=lambda item: item[0]):
        table[a][b] = link
        table[b][a] = link
    return {name: dict(sorted(row.items())) for name, row in table.items()}


def _pair(a: str, b: str) -> tuple[str, str]:
    return (a, b) if a < b else (b, a)


def _point(place: Place) -> tuple[float, float, float]:
    return (place.x_m or 0.0, place.y_m or 0.0, place.z_m or 0.0)


def _nanometres(length_m: float) -> int:
    return round(length_m * 1e9)
