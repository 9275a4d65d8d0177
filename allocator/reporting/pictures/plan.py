"""The machine in plan view: places, stretches as thick as their copper, bulkheads, sources, units, loads."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin, sqrt

from allocator.layout import Layout
from allocator.problem import Problem
from allocator.reporting.pictures.drawing import Disc, Drawing, Line, Outline, Part, Point, Words, box
from allocator.reporting.pictures.labelling import Box, Round, Stroke, Text, label
from allocator.reporting.pictures.letters import MIDDLE_OF_FIGURES, width_of
from allocator.reporting.pictures.marks import DIRECT, FAINT, INK, PAPER, QUIET, Marks, over
from allocator.reporting.pictures.node_positions import NodePositions, around, node_positions
from allocator.reporting.runs import Stretch

WIDE, NARROW = 1180.0, 372.0
HEIGHTS = {False: (430.0, 760.0), True: (560.0, 1180.0)}
DISC = 14.0
THIN, THICK = 1.5, 11.0
"""Line widths in points, to that of the stretch with the most copper; by the root of it, as a bundle grows."""
SMALL = 8.5  # letters of notes


@dataclass(frozen=True)
class Plan:
    """A drawing, with where everything on it stands (points, y downwards) and the drawing's size.

    ``named`` says which parts can be pointed at: id in the drawing to what it is and its name.
    """

    drawing: Drawing
    node_positions: NodePositions
    named: dict[str, tuple[str, str]]
    load_at: dict[str, Point]

    @property
    def place_at(self) -> dict[str, Point]:
        """Places, y downwards."""
        return _downwards(self.node_positions)


def plan(
    problem: Problem, layout: Layout, found: tuple[Stretch, ...], *, narrow: bool = False, alone: bool = False
) -> Plan:
    """Draw a layout.

    Parameters
    ----------
    problem
        The problem.
    layout
        A layout of it.
    found
        The stretches of its harness.
    narrow
        For a phone, with the longer side upright.
    alone
        With a title and a key.
    """
    width, margin = (NARROW, 56.0) if narrow else (WIDE, 76.0)
    where = node_positions(problem, _room(problem, layout), width, HEIGHTS[narrow], margin, narrow)
    drawn = _Drawn(problem, layout, where)
    drawn.stretches(found)
    drawn.places()
    drawn.units_and_sources()
    drawn.loads()
    drawn.scale()
    if alone:
        drawn.key()
    label(drawn.drawing, drawn.texts, drawn.taken, drawn.lines, 8.0 if narrow else 9.5, drawn.kept)
    return Plan(drawn.drawing, where, drawn.named, drawn.load_at)


def _downwards(where: NodePositions) -> dict[str, Point]:
    return {name: (x, where.height - y) for name, (x, y) in where.at.items()}


def _rings(problem: Problem, layout: Layout) -> dict[str, float]:
    """Radius at which the first ring of loads stands around each place, beyond the units and sources there."""
    big = Counter([*(source.place for source in problem.sources), *(unit.site for unit in layout.units)])
    return {place.name: 13.5 if not big[place.name] else 9.0 + 14.0 * big[place.name] for place in problem.places}


def _room(problem: Problem, layout: Layout) -> dict[str, float]:
    """Radius of each place with its loads around it."""
    loads = Counter(load.place for load in problem.loads)
    return {
        place: max([first - 4.0, *(hypot(x, y) + 8.0 for x, y in around(loads[place], first, DISC))])
        for place, first in _rings(problem, layout).items()
    }


class _Drawn:
    def __init__(self, problem: Problem, layout: Layout, where: NodePositions):
        self.problem, self.layout, self.where = problem, layout, where
        self.drawing, self.at = Drawing(where.width, where.height), _downwards(where)
        self.marks = Marks(problem, layout)
        self.named: dict[str, tuple[str, str]] = {}
        self.load_at: dict[str, Point] = {}
        self.taken: list[Round] = []  # what labels keep clear of
        self.lines: list[Stroke] = []
        self.texts: list[Text] = []
        self.kept: list[Box] = []

    def add(self, part: Part, layer: float, kind: str, name: str) -> None:
        """Draw a part under an id by which it can be found again.

        Parameters
        ----------
        part
            What is drawn.
        layer
            Parts of a higher layer hide those of a lower one.
        kind, name
            What the part stands for, and its name.
        """
        id_ = f"{kind}-{len(self.named)}"
        self.named[id_] = (kind, name)
        self.drawing.add(part, layer, id_)

    def stretches(self, found: tuple[Stretch, ...]) -> None:
        """Lines as thick as their copper; empty ones dotted. A bar across marks a bulkhead."""
        most = max((one.copper_g_m for one in found), default=0.0) or 1.0
        for one in found:
            if one.start not in self.at or one.end not in self.at:
                continue  # a layout by hand may name what the problem does not have
            a, b = self.at[one.start], self.at[one.end]
            if one.wires:
                width = THIN + (THICK - THIN) * sqrt(one.copper_g_m / most)
                line = Line((a, b), "#a9b4bc", width, cap="round")
            else:
                line = Line((a, b), FAINT, 1.2, dash=(1.2, 3.6))
            self.lines.append((a, b, line.width))
            self.add(line, 1.0, "stretch", one.name)
            if one.bulkhead is not None:
                self._bulkhead(one.bulkhead, a, b)

    def _bulkhead(self, name: str, a: Point, b: Point) -> None:
        x, y = (a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0
        angle = atan2(b[1] - a[1], b[0] - a[0]) + pi / 2.0
        dx, dy = 11.0 * cos(angle), 11.0 * sin(angle)
        across = ((x - dx, y - dy), (x + dx, y + dy))
        self.drawing.add(Line(across, PAPER, 7.0, cap="square"), 2.0)
        self.add(Line(across, INK, 3.2), 2.0, "bulkhead", name)
        self.taken += [(x + part * dx, y + part * dy, 9.0) for part in (-0.8, 0.0, 0.8)]
        self.texts.append(Text(x, y, name, italic=True))

    def places(self) -> None:
        """A ring each; a triangle on its tip where there is a ground stud."""
        for place in self.problem.places:
            x, y = self.at[place.name]
            if place.stud_a is None:
                self.drawing.add(Disc((x, y), 3.25, PAPER, INK, 1.2), 3.0)
            else:
                corners = ((x - 4.5, y - 4.5), (x + 4.5, y - 4.5), (x, y + 4.5))
                self.drawing.add(Outline(corners, PAPER, INK, 1.2), 3.0)
            self.taken.append((x, y, 10.0))
            self.texts.append(Text(x, y, place.name))

    def units_and_sources(self) -> None:
        """Squares with the mark of the unit, diamonds for sources; what shares a place stands side by side."""
        at: dict[str, list[tuple[str, str]]] = defaultdict(list)
        for source in self.problem.sources:
            at[source.place].append(("source", source.name))
        for unit in self.layout.units:
            if unit.site in self.at:
                at[unit.site].append(("unit", unit.name))
        for place, things in at.items():
            x, y = self.at[place]
            for n, (kind, name) in enumerate(things):
                self._big(x + 28.0 * (n - (len(things) - 1) / 2.0), y, kind, name)

    def _big(self, x: float, y: float, kind: str, name: str) -> None:
        if kind == "source":
            (mark, hue), size = ("S", PAPER), 10.0
            reach = 9.0 * sqrt(2.0)
            corners: tuple[Point, ...] = ((x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y))
        else:
            (mark, hue), size = self.marks.of_unit(name), 13.0
            corners = box(x - 12.0, y - 12.0, 24.0, 24.0)
        self.add(Outline(corners, hue, INK, 2.0), 5.0, kind, name)
        self._mark(x, y, mark, size, over(hue), 6.0, bold=True)
        self.taken.append((x, y, 28.0))

    def _mark(self, x: float, y: float, mark: str, size: float, colour: str, layer: float, *, bold: bool) -> None:
        self.drawing.add(Words((x, y + MIDDLE_OF_FIGURES * size), mark, size, colour, "middle", bold), layer)

    def loads(self) -> None:
        """Discs around their place, each with the mark of what feeds it."""
        at: dict[str, list[str]] = defaultdict(list)
        rings = _rings(self.problem, self.layout)
        for load in self.problem.loads:
            at[load.place].append(load.name)
        for place, names in at.items():
            x, y = self.at[place]
            for name, (dx, dy) in zip(names, around(len(names), rings[place], DISC), strict=True):
                self._load(name, x + dx, y - dy)

    def _load(self, name: str, x: float, y: float) -> None:
        mark, hue = self.marks.of_load(name)
        self.add(Disc((x, y), 6.0, hue, INK, 0.8), 4.0, "load", name)
        self._mark(x, y, mark, 7.5, over(hue), 4.5, bold=mark != DIRECT)
        self.load_at[name] = (x, y)
        self.taken.append((x, y, 13.0))

    def scale(self) -> None:
        """A measure of length, and which way the axes run; or that nothing is to scale."""
        if self.where.points_a_metre is None:
            self._note("Not to scale: the places have no coordinates; laid out from the network.", 12.0)
            return
        metre, y = self.where.points_a_metre, self.where.height - 14.0
        length = next((step for step in (0.2, 0.5, 1.0, 2.0, 5.0) if step * metre >= 60.0), 10.0)
        right = 12.0 + length * metre
        self.drawing.add(Line(((12.0, y), (right, y)), INK, 2.0))
        for x in (12.0, right):
            self.drawing.add(Line(((x, y - 4.0), (x, y + 4.0)), INK, 1.0))
        self.kept.append((12.0, y - 4.0, right, y + 4.0))
        self._note(f"{length:g} m    {self.where.right} to the right, {self.where.up} up", 22.0)

    def key(self) -> None:
        """What a drawing in a file has to say for itself."""
        units = ", ".join(f"{self.marks.of_unit(unit.name)[0]} {unit.name}" for unit in self.layout.units)
        lines = (
            f"square: unit ({units}); diamond S: source; disc: load with the number of its unit, D: fused at source",
            "ring: place; triangle: with a ground stud; bar across: bulkhead; line as thick as the square "
            "root of its copper",
        )
        for n, line in enumerate(reversed(lines)):
            self._note(line, 9.0 + 13.0 * n, "end")
        title = f"{self.problem.name}: {self.layout.status}"
        self.drawing.add(Words((12.0, 20.0), title, 13.0, INK, bold=True), 8.0)
        self.kept.append((12.0, 6.0, 12.0 + 1.1 * width_of(title, 13.0), 24.0))  # bold letters are a tenth wider

    def _note(self, text: str, above: float, anchor: str = "start") -> None:
        """Small words at the lower edge, which labels keep clear of."""
        x, y = 12.0 if anchor == "start" else self.where.width - 12.0, self.where.height - above
        self.drawing.add(Words((x, y), text, SMALL, QUIET, anchor), 8.0)
        wide = width_of(text, SMALL)
        left = x if anchor == "start" else x - wide
        self.kept.append((left, y - SMALL, left + wide, y + 2.0))
