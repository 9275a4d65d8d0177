"""Names on a drawing, set where they hide nothing; those that are not close by have a thin line to what they name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, inf, pi, sin
from typing import TYPE_CHECKING

from allocator.reporting.pictures.drawing import Drawing, Line, Point, Words
from allocator.reporting.pictures.letters import MIDDLE, width_of
from allocator.reporting.pictures.marks import INK, QUIET

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
    """Write names into a drawing, clear of discs, of lines and of each other where there is room.

    Each in turn is set where it costs least, near before far. All lengths are in points.

    Parameters
    ----------
    drawing
        The drawing, which is added to.
    texts
        Names and the points that they name.
    taken
        Discs that a name must not hide.
    lines
        Lines that a name should not lie on.
    size
        Size of the letters.
    kept
        Boxes that are kept clear as names are.

    Returns
    -------
    tuple
        The boxes of the names, in the order in which they were set.
    """
    boxes, led = list(kept), list(lines)
    found: list[Box] = []
    for text in sorted(texts, key=lambda one: one.italic):
        shown, at = cut(text.name), (text.x, text.y)
        distance, best = _best(drawing, text, width_of(shown, size), size * LINE_HEIGHT, boxes, taken, led)
        if distance > DISTANCES[0]:
            line = (_nearest(text, best), at)
            drawing.add(Line(line, QUIET, 0.6), LEADER)
            led.append((*line, 0.6))
        left, top, right, bottom = best
        base = ((left + right) / 2.0, (top + bottom) / 2.0 + MIDDLE * size)
        drawing.add(Words(base, shown, size, QUIET if text.italic else INK, "middle", italic=text.italic), NAME)
        boxes.append(best)
        found.append(best)
    return tuple(found)


def cut(name: str, longest: int = LONGEST) -> str:
    """A name cut to what there is room for."""
    return name if len(name) <= longest else f"{name[: longest - 1]}…"


def _best(
    drawing: Drawing,
    text: Text,
    width: float,
    height: float,
    boxes: Sequence[Box],
    taken: Sequence[Round],
    lines: Sequence[Stroke],
) -> tuple[float, Box]:
    """The distance and the box that cost least; boxes further away are looked at while they might."""
    import numpy as np

    hidden = _Hidden(drawing, text, np.array(boxes), np.array(taken), np.array([(*a, *b, w) for a, b, w in lines]))
    least, best = inf, (0.0, (0.0, 0.0, width, height))
    for distance in DISTANCES:
        if distance >= least:
            break
        places = [*_places(text, distance, width, height)]
        costs = distance + hidden.costs(np.array(places), np.array([_nearest(text, place) for place in places]))
        n = int(costs.argmin())
        if costs[n] < least:
            least, best = float(costs[n]), (distance, places[n])
    return best


def _places(text: Text, distance: float, width: float, height: float) -> Iterator[Box]:
    """Boxes around a point: each touches the end of a line of a length from the point."""
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


@dataclass(frozen=True, slots=True)
class _Hidden:
    """What a name may hide: names, discs and lines, a row each."""

    drawing: Drawing
    text: Text
    boxes: ndarray
    discs: ndarray
    lines: ndarray

    def costs(self, places: ndarray, near: ndarray) -> ndarray:
        """What is hidden and crossed at each place, where a line leads from ``near`` to what is named."""
        import numpy as np

        here = np.array((self.text.x, self.text.y))
        low, high = places[:, None, :2], places[:, None, 2:]
        paper = np.array((self.drawing.width, self.drawing.height))
        outside = (low < CLEAR) | (high > paper - CLEAR)
        costs: ndarray = HIDING * outside.sum(axis=(1, 2))
        if len(self.boxes):
            clear = np.array((ABREAST, CLEAR))
            over = ((low < self.boxes[:, 2:] + clear) & (high > self.boxes[:, :2] - clear)).all(axis=2)
            costs += HIDING * over.sum(axis=1)
            costs += LED_OVER * _meets(near[:, None, :], here, self.boxes).sum(axis=1)
        if len(self.discs):
            middle, across = self.discs[:, :2], self.discs[:, 2]
            gap = np.hypot(*np.moveaxis(middle - np.minimum(np.maximum(middle, low), high), 2, 0))
            costs += HIDING * (gap < across / 2.0 + CLEAR).sum(axis=1)
            others = self.discs[np.hypot(*(middle - here).T) > across / 2.0]  # not what is named itself
            half = 0.35 * others[:, 2:]
            led = np.hstack((others[:, :2] - half, others[:, :2] + half))
            costs += LED_OVER * _meets(near[:, None, :], here, led).sum(axis=1)
        if len(self.lines):
            room = self.lines[:, 4:] / 2.0 + 1.0
            wide = np.concatenate((low - room, high + room), axis=2)
            costs += CROSSING * _meets(self.lines[:, :2], self.lines[:, 2:4], wide).sum(axis=1)
        return costs


def _meets(a: ndarray, b: ndarray, boxes: ndarray) -> ndarray:
    """Whether lines from ``a`` to ``b`` meet boxes: what is left of each line between the box's four edges."""
    import numpy as np

    run = b - a
    run = np.where(np.abs(run) < 1e-9, 1e-9, run)
    to_low, to_high = (boxes[..., :2] - a) / run, (boxes[..., 2:] - a) / run
    enters = np.minimum(to_low, to_high).max(axis=-1)
    leaves = np.maximum(to_low, to_high).min(axis=-1)
    meets: ndarray = (enters <= leaves) & (leaves >= 0.0) & (enters <= 1.0)
    return meets
