"""Names on a drawing, set where they hide nothing; those that are not close by have a thin line to what they name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, sin
from typing import TYPE_CHECKING

from allocator.showing.pictures.drawing import Drawing, Line, Point, Words
from allocator.showing.pictures.letters import MIDDLE, width_of
from allocator.showing.pictures.marks import INK, QUIET

if TYPE_CHECKING:
    from numpy import ndarray

Round = tuple[float, float, float]
"""Centre and diameter of something that a name must not hide."""
Stroke = tuple[Point, Point, float]
"""Ends and width of a line that a name should not lie on."""
Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""

LONGEST = 32
DIRECTIONS, DISTANCES = 24, (9.0, 12.0, 16.0, 21.0, 27.0, 34.0, 42.0, 52.0, 64.0, 80.0, 100.0, 125.0, 155.0)
LINE_HEIGHT = 1.2
CLEAR, ABREAST = 2.0, 8.0  # points between a name and all else, and between names that stand abreast
HIDING, CROSSING, LED_OVER = 1000.0, 25.0, 30.0
"""What a name costs, in points of distance: for each name, disc or edge it hides, each line it lies on, and what its
own line leads over."""
NAME, LEADER = 7.0, 0.5  # layers


@dataclass(frozen=True, slots=True)
class Text:
    """A name and the point that it names; slanting names are set after all others."""

    x: float
    y: float
    name: str
    italic: bool = False


def label(
    drawing: Drawing,
    texts: Sequence[Text],
    taken: Sequence[Round],
    lines: Sequence[Stroke],
    size: float,
    kept: Sequence[Box] = (),
) -> tuple[Box, ...]:
    """Write names into a drawing, clear of discs, of lines and of each other where there is room; tell where.

    Each in turn is set where it costs least, near before far; ``kept`` is kept clear as names are.
    """
    boxes, leaders = list(kept), [*lines]
    found: list[Box] = []
    for text in sorted(texts, key=lambda one: one.italic):
        shown = cut(text.name)
        places = [*_places(text, width_of(shown, size), size * LINE_HEIGHT)]
        costs = _costs(drawing, text, places, boxes, taken, leaders)
        chosen = int(costs.argmin())
        left, top, right, bottom = best = places[chosen]
        if chosen >= DIRECTIONS:
            near = _nearest(text, best)
            drawing.add(Line((near, (text.x, text.y)), QUIET, 0.6), LEADER)
            leaders.append((near, (text.x, text.y), 0.6))
        base = ((left + right) / 2.0, (top + bottom) / 2.0 + MIDDLE * size)
        drawing.add(Words(base, shown, size, QUIET if text.italic else INK, "middle", italic=text.italic), NAME)
        boxes.append(best)
        found.append(best)
    return tuple(found)


def cut(name: str, longest: int = LONGEST) -> str:
    """A name cut to what there is room for."""
    return name if len(name) <= longest else f"{name[: longest - 1]}…"


def _places(text: Text, width: float, height: float) -> Iterator[Box]:
    """Boxes around a point, the nearest first: each touches the end of a line from the point, straight or slanting."""
    for distance in DISTANCES:
        for n in range(DIRECTIONS):
            dx, dy = cos(2.0 * pi * n / DIRECTIONS), -sin(2.0 * pi * n / DIRECTIONS)
            left = text.x + distance * dx - width * (1.0 - _sided(dx)) / 2.0
            top = text.y + distance * dy - height * (1.0 - _sided(dy)) / 2.0
            yield left, top, left + width, top + height


def _sided(part: float) -> float:
    """-1, 0 or 1: whether a box lies to one side of the end of the line, is centred on it, or lies to the other."""
    return float(part > 0.3) - float(part < -0.3)


def _nearest(text: Text, box: Box) -> Point:
    """The point of a box's edge that is nearest to what it names."""
    return min(max(text.x, box[0]), box[2]), min(max(text.y, box[1]), box[3])


def _costs(
    drawing: Drawing,
    text: Text,
    places: Sequence[Box],
    boxes: Sequence[Box],
    taken: Sequence[Round],
    lines: Sequence[Stroke],
) -> ndarray:
    """What each place costs: its distance, and what is hidden and crossed there."""
    import numpy as np

    at = np.array(places)
    near = np.array([_nearest(text, place) for place in places])
    here = np.array([(text.x, text.y)] * len(places))
    inside = (at[:, 0] > CLEAR) & (at[:, 2] < drawing.width - CLEAR)
    inside &= (at[:, 1] > CLEAR) & (at[:, 3] < drawing.height - CLEAR)
    costs: ndarray = np.repeat(DISTANCES, DIRECTIONS) + HIDING * ~inside
    for left, top, right, bottom in boxes:
        wide = (left - ABREAST, top - CLEAR, right + ABREAST, bottom + CLEAR)
        costs += HIDING * ((at[:, 0] < wide[2]) & (at[:, 2] > wide[0]) & (at[:, 1] < wide[3]) & (at[:, 3] > wide[1]))
        costs += LED_OVER * _meets(near, here, np.array([(left, top, right, bottom)]))
    for x, y, across in taken:
        gap = np.hypot(x - np.clip(x, at[:, 0], at[:, 2]), y - np.clip(y, at[:, 1], at[:, 3]))
        costs += HIDING * (gap < across / 2.0 + CLEAR)
        if hypot(x - text.x, y - text.y) > across / 2.0:  # not what is named itself
            half = 0.35 * across
            costs += LED_OVER * _meets(near, here, np.array([(x - half, y - half, x + half, y + half)]))
    for a, b, width in lines:
        grown = at + np.array([-1.0, -1.0, 1.0, 1.0]) * (width / 2.0 + 1.0)
        costs += CROSSING * _meets(np.array([a]), np.array([b]), grown)
    return costs


def _meets(a: ndarray, b: ndarray, boxes: ndarray) -> ndarray:
    """Whether lines from ``a`` to ``b`` meet boxes: what is left of each line between the box's four edges."""
    import numpy as np

    run = b - a
    run = np.where(np.abs(run) < 1e-9, 1e-9, run)
    to_low, to_high = (boxes[:, :2] - a) / run, (boxes[:, 2:] - a) / run
    enters = np.minimum(to_low, to_high).max(axis=1)
    leaves = np.maximum(to_low, to_high).min(axis=1)
    meets: ndarray = (enters <= leaves) & (leaves >= 0.0) & (enters <= 1.0)
    return meets
