"""Every way through a small network, and the shortest tree by trying every set of segments."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from math import dist

from allocator.problem import Line, Problem, Segment


@dataclass(frozen=True)
class Way:
    """A path: its places in order, and what it passes; segments by their number."""

    places: tuple[str, ...]
    length_m: float
    ambient_c: float
    insulation_c: float
    bulkheads: tuple[str, ...]
    segments: tuple[int, ...] = ()


def way(problem: Problem, places: tuple[str, ...], segments: tuple[Segment, ...]) -> Way:
    """Sum up a path of segments."""
    heat = [problem.ambient_c if s.ambient_c is None else s.ambient_c for s in segments]
    ends = [problem.place_ambient_c(places[0]), problem.place_ambient_c(places[-1])]
    return Way(
        places=places,
        length_m=sum(s.length_m for s in segments),
        ambient_c=max(heat + ends),
        insulation_c=max((s.insulation_c or 0.0 for s in segments), default=0.0),
        bulkheads=tuple(s.bulkhead for s in segments if s.bulkhead is not None),
        segments=tuple(problem.segments.index(s) for s in segments),
    )


@lru_cache(maxsize=1000)
def ways(problem: Problem, start: str, end: str, lines: tuple[Line, ...] = (Line.WIRE,)) -> tuple[Way, ...]:
    """All simple paths that any of some lines may take, shortest first; a straight line where there is no network."""
    if not problem.segments:
        return (_straight(problem, start, end),)
    found = [way(problem, places, segments) for places, segments in _paths(problem, (start,), (), end)]
    open_to_some = [w for w in found if any(passable(problem, w, line) for line in lines)]
    return tuple(sorted(open_to_some, key=lambda w: w.length_m))


def passable(problem: Problem, way: Way, line: Line) -> bool:
    """Whether a wire, or a cable, may take a way."""
    return all(problem.segments[e].only in (None, line) for e in way.segments)


def _paths(
    problem: Problem, places: tuple[str, ...], segments: tuple[Segment, ...], end: str
) -> Iterator[tuple[tuple[str, ...], tuple[Segment, ...]]]:
    if places[-1] == end:
        yield places, segments
        return
    for segment in problem.segments:
        ends = (segment.start, segment.end)
        if places[-1] in ends:
            onward = ends[1] if ends[0] == places[-1] else ends[0]
            if onward not in places:
                yield from _paths(problem, (*places, onward), (*segments, segment), end)


def _straight(problem: Problem, start: str, end: str) -> Way:
    a, b = problem.place[start], problem.place[end]
    points = [(p.x_m, p.y_m, p.z_m) for p in (a, b)]
    length = dist(*([c or 0.0 for c in p] for p in points)) * problem.margins.route_factor
    ambient = max(problem.place_ambient_c(start), problem.place_ambient_c(end))
    return Way((start,) if start == end else (start, end), length, ambient, 0.0, ())


def shortest_tree(problem: Problem, places: frozenset[str]) -> tuple[Segment, ...]:
    """The least length of segments open to wires that joins the places, over all sets of segments that do."""
    if len(places) < 2:
        return ()
    open_to_wires = [segment for segment in problem.segments if segment.only is not Line.CABLE]
    best: tuple[float, tuple[Segment, ...]] | None = None
    for count in range(1, len(problem.places)):
        for chosen in combinations(open_to_wires, count):
            length = sum(s.length_m for s in chosen)
            if (best is None or length < best[0]) and _joined(chosen, places):
                best = (length, chosen)
    if best is None:
        raise ValueError("the network is in pieces")
    return best[1]


def _joined(segments: tuple[Segment, ...], places: frozenset[str]) -> bool:
    reached, grew = {next(iter(places))}, True
    while grew:
        near = {p for s in segments if s.start in reached or s.end in reached for p in (s.start, s.end)}
        grew = not near <= reached
        reached |= near
    return places <= reached
