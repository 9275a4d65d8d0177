"""A trade-off as a staircase of points."""

from __future__ import annotations

from itertools import pairwise

from allocator.pareto_front import Tradeoff
from allocator.reporting.pictures.drawing import Disc, Drawing, Line, Point, Words
from allocator.reporting.pictures.letters import MIDDLE, width_of
from allocator.reporting.pictures.marks import INK, PAPER
from allocator.reporting.pictures.ticks import ticks
from allocator.reporting.tradeoffs import count_of, counted_as

WIDTH, HEIGHT = 504.0, 324.0
LEFT, RIGHT, TOP, BOTTOM = 62.0, 490.0, 30.0, 276.0  # of the axes
SIZE, STEP, DOT = 10.0, "#999999", 3.0
BEYOND = 0.06  # how far the axes reach beyond the points, as a share of what these span


def staircase(tradeoff: Tradeoff) -> Drawing:
    """Copper over what is counted: proven points are full, others are rings."""
    drawing = Drawing(WIDTH, HEIGHT)
    counts = [float(count_of(tradeoff, point)) for point in tradeoff.points]
    copper = [point.copper_g for point in tradeoff.points]
    across, up = _span(counts, 0.5), _span(copper, 1.0)
    at = [
        (LEFT + (RIGHT - LEFT) * (n - across[0]) / (across[1] - across[0]), _height(g, up))
        for n, g in zip(counts, copper, strict=True)
    ]
    _axes(drawing, across, up)
    middle = (LEFT + RIGHT) / 2.0
    drawing.add(Words((middle, TOP - 9.0), tradeoff.problem, 12.0, INK, "middle"))
    drawing.add(Words((middle, HEIGHT - 10.0), counted_as(tradeoff), SIZE, INK, "middle"))
    drawing.add(Words((16.0, (TOP + BOTTOM) / 2.0), "copper in g", SIZE, INK, "middle", turned=True))
    for a, b in pairwise(at):
        drawing.add(Line((a, (b[0], a[1]), b), STEP, 1.0), 1.0)
    for point, one in zip(at, tradeoff.points, strict=True):
        drawing.add(_dot(point, proven=one.proven), 2.0)
    _key(drawing, {one.proven for one in tradeoff.points})
    return drawing


def _span(values: list[float], least: float) -> tuple[float, float]:
    """What an axis shows: a little more than its values, and at least so much to either side."""
    if not values:
        return 0.0, 1.0
    more = max(BEYOND * (max(values) - min(values)), least)
    return min(values) - more, max(values) + more


def _height(copper_g: float, up: tuple[float, float]) -> float:
    return BOTTOM - (BOTTOM - TOP) * (copper_g - up[0]) / (up[1] - up[0])


def _axes(drawing: Drawing, across: tuple[float, float], up: tuple[float, float]) -> None:
    corners = ((LEFT, TOP), (RIGHT, TOP), (RIGHT, BOTTOM), (LEFT, BOTTOM), (LEFT, TOP))
    drawing.add(Line(corners, INK, 0.8, cap="square"))
    for count in ticks(*across, 9, whole=True):
        x = LEFT + (RIGHT - LEFT) * (count - across[0]) / (across[1] - across[0])
        drawing.add(Line(((x, BOTTOM), (x, BOTTOM + 3.5)), INK, 0.8))
        drawing.add(Words((x, BOTTOM + 15.0), f"{count:.0f}", SIZE, INK, "middle"))
    for grams in ticks(*up, 8):
        y = _height(grams, up)
        drawing.add(Line(((LEFT - 3.5, y), (LEFT, y)), INK, 0.8))
        drawing.add(Words((LEFT - 7.0, y + MIDDLE * SIZE), f"{grams:g}", SIZE, INK, "end"))


def _key(drawing: Drawing, kinds: set[bool]) -> None:
    """What dots and rings mean, in the corner that a falling staircase leaves free."""
    named = [(proven, name) for proven, name in ((True, "proven"), (False, "not proven")) if proven in kinds]
    left = RIGHT - 10.0 - max((width_of(name, SIZE) for _, name in named), default=0.0)
    for n, (proven, name) in enumerate(named):
        y = TOP + 16.0 + 15.0 * n
        drawing.add(_dot((left - 14.0, y), proven=proven), 2.0)
        drawing.add(Words((left, y + MIDDLE * SIZE), name, SIZE, INK))


def _dot(at: Point, *, proven: bool) -> Disc:
    return Disc(at, DOT, INK if proven else PAPER, INK, 1.0)
