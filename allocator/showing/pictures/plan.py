"""The machine in plan view: places, stretches as thick as their copper, bulkheads, sources, units, loads."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin, sqrt
from typing import TYPE_CHECKING, Any

from allocator.layout import Layout
from allocator.problem import Problem
from allocator.showing.pictures.labelling import Text, label
from allocator.showing.pictures.marks import DIRECT, FAINT, INK, PAPER, QUIET, Marks, over
from allocator.showing.pictures.plainly import plainly
from allocator.showing.pictures.spots import Spots, around, spots
from allocator.showing.runs import Stretch

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDE, NARROW = 1180.0, 372.0
HEIGHTS = {False: (430.0, 760.0), True: (560.0, 1180.0)}
DISC = 14.0
THICK = 11.0
"""Line width in points of the stretch with the most copper; others by the root of theirs, as a bundle grows."""


@dataclass(frozen=True)
class Plan:
    """A drawing, with where everything on it stands (points, y downwards) and the drawing's size.

    ``named`` says which parts can be pointed at: id in the drawing to what it is and its name.
    """

    figure: Figure
    spots: Spots
    named: dict[str, tuple[str, str]]
    load_at: dict[str, tuple[float, float]]

    @property
    def place_at(self) -> dict[str, tuple[float, float]]:
        """Places, y downwards."""
        return {name: (x, self.spots.height - y) for name, (x, y) in self.spots.at.items()}


@plainly()
def plan(
    problem: Problem, layout: Layout, found: tuple[Stretch, ...], *, narrow: bool = False, alone: bool = False
) -> Plan:
    """Draw a layout; ``narrow`` for a phone, with the longer side upright; ``alone`` with a title and a key."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    width, margin = (NARROW, 56.0) if narrow else (WIDE, 76.0)
    where = spots(problem, _room(problem, layout), width, HEIGHTS[narrow], margin, narrow)
    figure = Figure(figsize=(where.width / 72.0, where.height / 72.0), dpi=72, facecolor=PAPER)
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_axis_off()
    axes.set(xlim=(0.0, where.width), ylim=(0.0, where.height))
    drawing = _Drawing(problem, layout, where, axes)
    drawing.stretches(found)
    drawing.places()
    drawing.units_and_sources()
    drawing.loads()
    label(axes, drawing.texts, drawing.taken, drawing.lines, 8.0 if narrow else 9.5)
    drawing.scale()
    if alone:
        drawing.key()
    return Plan(figure, where, drawing.named, drawing.load_at)


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


class _Drawing:
    def __init__(self, problem: Problem, layout: Layout, where: Spots, axes: Axes):
        self.problem, self.layout, self.where, self.axes = problem, layout, where, axes
        self.marks = Marks(problem, layout)
        self.named: dict[str, tuple[str, str]] = {}
        self.load_at: dict[str, tuple[float, float]] = {}
        self.taken: list[tuple[float, float, float]] = []  # centres and sizes that labels keep clear of
        self.lines: list[tuple[tuple[float, float], tuple[float, float]]] = []
        self.texts: list[Text] = []

    def name(self, artist: Any, kind: str, name: str) -> None:
        """Give a part of the drawing an id under which it can be found again."""
        gid = f"{kind}-{len(self.named)}"
        artist.set_gid(gid)
        self.named[gid] = (kind, name)

    def stretches(self, found: tuple[Stretch, ...]) -> None:
        """Lines as thick as their copper; empty ones dotted. A bar across marks a bulkhead."""
        most = max((one.copper_g_m for one in found), default=0.0) or 1.0
        for one in found:
            if one.start not in self.where.at or one.end not in self.where.at:
                continue  # a layout by hand may name what the problem does not have
            a, b = self.where.at[one.start], self.where.at[one.end]
            self.lines.append((a, b))
            xs, ys = zip(a, b, strict=True)
            if one.wires:
                width = 1.5 + (THICK - 1.5) * sqrt(one.copper_g_m / most)
                (line,) = self.axes.plot(xs, ys, color="#a9b4bc", linewidth=width, solid_capstyle="round", zorder=1)
            else:
                (line,) = self.axes.plot(xs, ys, color=FAINT, linewidth=1.2, linestyle=(0, (1, 3)), zorder=1)
            line.set_clip_on(False)
            self.name(line, "stretch", one.name)
            if one.bulkhead is not None:
                self._bulkhead(one.bulkhead, a, b)

    def _bulkhead(self, name: str, a: tuple[float, float], b: tuple[float, float]) -> None:
        x, y = (a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0
        angle = atan2(b[1] - a[1], b[0] - a[0]) + pi / 2.0
        dx, dy = 11.0 * cos(angle), 11.0 * sin(angle)
        self.axes.plot((x - dx, x + dx), (y - dy, y + dy), color=PAPER, linewidth=7.0, zorder=2, clip_on=False)
        (bar,) = self.axes.plot((x - dx, x + dx), (y - dy, y + dy), color=INK, linewidth=3.2, zorder=2, clip_on=False)
        self.name(bar, "bulkhead", name)
        self.taken.append((x, y, 14.0))
        self.texts.append(Text(x, y, name, italic=True))

    def places(self) -> None:
        """A dot each; a triangle on its tip where there is a ground stud."""
        for place in self.problem.places:
            x, y = self.where.at[place.name]
            stud = place.stud_a is not None
            self.axes.plot(
                [x],
                [y],
                marker="v" if stud else "o",
                markersize=9.0 if stud else 6.5,
                color=PAPER,
                markeredgecolor=INK,
                markeredgewidth=1.2,
                zorder=3,
                clip_on=False,
            )
            self.taken.append((x, y, 10.0))
            self.texts.append(Text(x, y, place.name))

    def units_and_sources(self) -> None:
        """Squares with the mark of the unit, diamonds for sources; what shares a place stands side by side."""
        at: dict[str, list[tuple[str, str]]] = defaultdict(list)
        for source in self.problem.sources:
            at[source.place].append(("source", source.name))
        for unit in self.layout.units:
            if unit.site in self.where.at:
                at[unit.site].append(("unit", unit.name))
        for place, things in at.items():
            x, y = self.where.at[place]
            for n, (kind, name) in enumerate(things):
                self._big(x + 28.0 * (n - (len(things) - 1) / 2.0), y, kind, name)

    def _big(self, x: float, y: float, kind: str, name: str) -> None:
        mark, hue = ("S", PAPER) if kind == "source" else self.marks.of_unit(name)
        shape, size = ("D", 18.0) if kind == "source" else ("s", 24.0)
        (box,) = self.axes.plot(
            [x],
            [y],
            marker=shape,
            markersize=size,
            color=hue,
            markeredgecolor=INK,
            markeredgewidth=2.0,
            zorder=5,
            clip_on=False,
        )
        self.name(box, kind, name)
        self.axes.text(
            x,
            y,
            mark,
            ha="center",
            va="center_baseline",
            fontsize=13.0 if kind == "unit" else 10.0,
            fontweight="bold",
            color=over(hue),
            zorder=6,
        )
        self.taken.append((x, y, 26.0))

    def loads(self) -> None:
        """Discs around their place, each with the mark of what feeds it."""
        at: dict[str, list[str]] = defaultdict(list)
        rings = _rings(self.problem, self.layout)
        for load in self.problem.loads:
            at[load.place].append(load.name)
        for place, names in at.items():
            x, y = self.where.at[place]
            for name, (dx, dy) in zip(names, around(len(names), rings[place], DISC), strict=True):
                self._load(name, x + dx, y + dy)

    def _load(self, name: str, x: float, y: float) -> None:
        mark, hue = self.marks.of_load(name)
        (disc,) = self.axes.plot(
            [x],
            [y],
            marker="o",
            markersize=12.0,
            color=hue,
            markeredgecolor=INK,
            markeredgewidth=0.8,
            zorder=4,
            clip_on=False,
        )
        self.name(disc, "load", name)
        self.axes.text(
            x,
            y,
            mark,
            ha="center",
            va="center_baseline",
            fontsize=7.5,
            fontweight="bold" if mark != DIRECT else "normal",
            color=over(hue),
            zorder=4.5,
        )
        self.load_at[name] = (x, self.where.height - y)
        self.taken.append((x, y, 13.0))

    def scale(self) -> None:
        """A measure of length, and which way the axes run; or that nothing is to scale."""
        if self.where.points_a_metre is None:
            text = "Not to scale: the places have no coordinates; laid out from the network."
            self.axes.text(12.0, 12.0, text, fontsize=8.5, color=QUIET)
            return
        metre = self.where.points_a_metre
        length = next((step for step in (0.2, 0.5, 1.0, 2.0, 5.0) if step * metre >= 60.0), 10.0)
        self.axes.plot(
            (12.0, 12.0 + length * metre), (14.0, 14.0), color=INK, linewidth=2.0, marker="|", markersize=8.0
        )
        note = f"{length:g} m    {self.where.right} to the right, {self.where.up} up"
        self.axes.text(12.0, 22.0, note, fontsize=8.5, color=QUIET)

    def key(self) -> None:
        """What a drawing in a file has to say for itself."""
        units = ", ".join(f"{self.marks.of_unit(unit.name)[0]} {unit.name}" for unit in self.layout.units)
        lines = (
            f"square: unit ({units}); diamond S: source; disc: load with the number of its unit, D: fused at source",
            "ring: place; triangle: with a ground stud; bar across: bulkhead; line as thick as the root of its copper",
        )
        right = self.where.width - 12.0
        for n, line in enumerate(reversed(lines)):
            self.axes.text(right, 9.0 + 13.0 * n, line, ha="right", fontsize=8.5, color=QUIET, zorder=8)
        title = f"{self.problem.name}: {self.layout.status}"
        self.axes.text(12.0, self.where.height - 20.0, title, fontsize=13.0, fontweight="bold", color=INK, zorder=8)
