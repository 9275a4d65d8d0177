"""Where the places of a problem stand in a plan view: to scale, or laid out from the network alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, sin

from allocator.problem import Problem

SEED = 7
EDGE = 3.0
ROUNDS = 400
PULL = 0.05


@dataclass(frozen=True, slots=True)
class NodePositions:
    """Places on a drawing of ``width`` x ``height`` points, y upwards.

    ``points_a_metre`` None: the places have no coordinates, and nothing is to scale. ``right`` and ``up`` name the
    axes. ``moved_m`` is how far the place that was moved most stands from where it is, so that none hides another.
    """

    width: float
    height: float
    at: dict[str, tuple[float, float]]
    points_a_metre: float | None
    right: str = "x"
    up: str = "y"
    moved_m: float = 0.0


def node_positions(
    problem: Problem, room: Mapping[str, float], width: float, height: tuple[float, float], margin: float, narrow: bool
) -> NodePositions:
    """Where every place of a problem stands in a drawing; all lengths are in points.

    The longer side of the machine lies across, or along where ``narrow``; it is turned for that by a right angle, and
    never mirrored.

    Parameters
    ----------
    problem
        The problem with its places: to scale where all have coordinates.
    room
        Radius that each place takes with what is drawn around it: places that would hide each other are pushed apart.
    width
        Width of the drawing.
    height
        Least and greatest height.
    margin
        What is left free at each edge.
    narrow
        Whether the drawing is for a phone.
    """
    located = all(place.located for place in problem.places)
    raw = _coordinates(problem) if located else _network(problem)
    low, span = _box(raw)
    turned = (span[1] > span[0]) != narrow
    if turned:
        raw = {name: (-y, x) for name, (x, y) in raw.items()}
        low, span = _box(raw)
    fits = [(width - 2.0 * margin) / span[0]] if span[0] else []
    fits += [(height[1] - 2.0 * margin) / span[1]] if span[1] else []
    scale = min(fits, default=1.0)
    left = (width - span[0] * scale) / 2.0
    true = {name: ((x - low[0]) * scale + left, (y - low[1]) * scale) for name, (x, y) in raw.items()}
    at = _eased(true, room, width)
    moved = max(hypot(at[n][0] - true[n][0], at[n][1] - true[n][1]) for n in at)
    (_, bottom), (_, reach) = _box(at)
    tall = max(height[0], reach + 2.0 * margin)
    at = {name: (x, y - bottom + (tall - reach) / 2.0) for name, (x, y) in at.items()}
    axes = ("-y", "x") if turned else ("x", "y")
    return NodePositions(width, tall, at, scale if located else None, *axes, moved_m=moved / scale if located else 0.0)


def _box(at: Mapping[str, tuple[float, float]]) -> tuple[list[float], list[float]]:
    """The least of each coordinate, and how far it reaches."""
    low = [min(point[k] for point in at.values()) for k in (0, 1)]
    return low, [max(point[k] for point in at.values()) - low[k] for k in (0, 1)]


def _coordinates(problem: Problem) -> dict[str, tuple[float, float]]:
    return {place.name: (place.x_m or 0.0, place.y_m or 0.0) for place in problem.places}


def _network(problem: Problem) -> dict[str, tuple[float, float]]:
    """A drawing of the network: springs along its segments, from a fixed beginning, so that it is always the same.

    Places go by number there: networkx goes through sets, and the order of names in a set differs from run to run.
    """
    import networkx as nx

    names = sorted(place.name for place in problem.places)
    number = {name: n for n, name in enumerate(names)}
    graph: nx.Graph[int] = nx.Graph()
    graph.add_nodes_from(range(len(names)))
    graph.add_edges_from(sorted((number[segment.start], number[segment.end]) for segment in problem.segments))
    planar = nx.check_planarity(graph)[0]
    begin = nx.planar_layout(graph) if planar else nx.circular_layout(graph)
    found = nx.spring_layout(graph, pos=begin, seed=SEED, iterations=300)
    return {names[n]: (float(x), float(y)) for n, (x, y) in found.items()}


def _eased(
    true: Mapping[str, tuple[float, float]], room: Mapping[str, float], width: float
) -> dict[str, tuple[float, float]]:
    """Spots pushed apart in pairs until none lies within the room of another, or the rounds are over.

    They are pushed along the line between them, half as they lie by now and half as they truly lie, and drawn back to
    where they truly lie in all but the last rounds: so what is left of a crowd's shape is kept.
    """
    names, now = sorted(true), {name: list(point) for name, point in true.items()}
    for round_ in range(ROUNDS):
        pull, still = PULL * max(0.0, 1.0 - 1.3 * round_ / ROUNDS), True
        for name in names:
            now[name] = [here + pull * (there - here) for here, there in zip(now[name], true[name], strict=True)]
        for n, a in enumerate(names):
            for b in names[:n]:
                lacking = room[a] + room[b] - hypot(now[a][0] - now[b][0], now[a][1] - now[b][1])
                if lacking > 0.01:
                    still = False
                    ux, uy = _apart(now[a], now[b], true[a], true[b])
                    for name, by in ((a, lacking / 4.0), (b, -lacking / 4.0)):
                        edge = room[name] + EDGE
                        now[name][0] = min(max(now[name][0] + by * ux, edge), width - edge)
                        now[name][1] += by * uy
        if still:
            break
    return {name: (x, y) for name, (x, y) in now.items()}


def _apart(a: Sequence[float], b: Sequence[float], true_a: Sequence[float], true_b: Sequence[float]) -> list[float]:
    """The direction from one spot to another: mean of the one now and the true one, sideways where there is none."""
    lines = [(p[0] - q[0], p[1] - q[1]) for p, q in ((a, b), (true_a, true_b))]
    units = [(x / hypot(x, y), y / hypot(x, y)) for x, y in lines if hypot(x, y) > 1e-6] or [(1.0, 0.0)]
    mean = [sum(unit[k] for unit in units) / len(units) for k in (0, 1)]
    length = hypot(*mean)
    return [part / length for part in mean] if length > 1e-6 else [1.0, 0.0]


def around(count: int, first: float, step: float) -> Iterator[tuple[float, float]]:
    """Places for so many marks around a point, ring by ring: the first at radius ``first``, ``step`` apart."""
    ring, left = 0, count
    while left > 0:
        radius = first + ring * step
        fit = max(1, int(2.0 * pi * radius / step))
        here = min(fit, left)
        for n in range(here):
            angle = pi / 2.0 - 2.0 * pi * n / max(here, min(fit, 6))
            yield radius * cos(angle), radius * sin(angle)
        left -= here
        ring += 1
