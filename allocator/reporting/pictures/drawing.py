"""A drawing as plain data: lines, outlines, discs and words in points, y downwards. SVG and figures are made of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Line:
    """A line from point to point; ``dash`` are lengths of stroke and gap, ``cap`` is butt, round or square."""

    points: tuple[Point, ...]
    colour: str
    width: float
    dash: tuple[float, ...] = ()
    cap: str = "butt"


@dataclass(frozen=True, slots=True)
class Outline:
    """A filled outline, closed from its last point to its first."""

    points: tuple[Point, ...]
    fill: str
    edge: str
    width: float


@dataclass(frozen=True, slots=True)
class Disc:
    """A filled circle."""

    at: Point
    radius: float
    fill: str
    edge: str
    width: float


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text, ``turned`` to run upwards; the ``anchor`` (start, middle or end) of its base line is ``at``."""

    at: Point
    text: str
    size: float
    colour: str
    anchor: str = "start"
    bold: bool = False
    italic: bool = False
    turned: bool = False


Part = Line | Outline | Disc | Words


@dataclass(slots=True)
class Drawing:
    """Parts on a sheet of paper. Those of a higher layer hide those of a lower one; ``id`` is how a part is found."""

    width: float
    height: float
    _parts: list[tuple[float, str, Part]] = field(default_factory=list)

    def add(self, part: Part, layer: float = 0.0, id: str = "") -> None:
        """Draw one more part, over those of its layer that are there."""
        self._parts.append((layer, id, part))

    def parts(self) -> Iterator[tuple[str, Part]]:
        """Parts with their ids, from the lowest to the highest."""
        return ((id_, part) for _, id_, part in sorted(self._parts, key=lambda one: one[0]))

    @property
    def words(self) -> list[str]:
        """Every text, in the order in which it was drawn."""
        return [part.text for _, _, part in self._parts if isinstance(part, Words)]


def box(left: float, top: float, width: float, height: float) -> tuple[Point, ...]:
    """Corners of a rectangle.

    Parameters
    ----------
    left
        Left edge.
    top
        Top edge.
    width
        Width.
    height
        Height; all in points of the drawing.
    """
    return ((left, top), (left + width, top), (left + width, top + height), (left, top + height))
