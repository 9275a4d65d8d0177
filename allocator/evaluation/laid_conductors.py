"""One conductor of a layout with everything that follows from its decisions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from allocator.problem import Line, Problem, Wire, WireTable
from allocator.routing import Network, Route, RouteError
from allocator.wiring import (
    ampacity_a,
    copper_g,
    of_class,
    resistance_ohm_m,
    running_temperature_c,
    wire_g,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Conductor:
    """A wire or feed as the problem has it, never as the layout states it.

    ``route``, ``row`` (of the wire table) and ``length_m`` are None where the decisions name nothing that
    exists; ``asked_c`` is the insulation class that the route takes, None where the table has none.
    ``line`` says whether it is a wire or a cable. ``free_a`` is what it may carry alone in free air and ``factor`` what
    is left of that on its route, ``current_a`` what it does carry, ``guard_a`` the trip or fuse it sits behind
    (``guard`` says which), ``contact_ohm`` the contacts it passes,
    ``bundle_c`` the warmest that the middle of a bundle is in which it lies, None where it lies in none.
    """

    label: str
    route: Route | None
    table: WireTable
    row: Wire | None
    asked_c: float | None
    free_a: float | None
    current_a: float
    length_m: float | None
    line: Line = Line.WIRE
    factor: float = 1.0
    guard_a: float | None = None
    guard: str = "trip"
    contact_ohm: float = 0.0
    bundle_c: float | None = None

    @property
    def ampacity_a(self) -> float | None:
        """What it may carry."""
        return None if self.free_a is None else self.free_a * self.factor

    @property
    def copper_g(self) -> float | None:
        """Mass of the copper, rounded to 0.001 g."""
        return None if self.row is None or self.length_m is None else copper_g(self.row, self.length_m)

    @property
    def wire_g(self) -> float | None:
        """Mass with the insulation."""
        return None if self.row is None or self.length_m is None else wire_g(self.row, self.length_m)

    @property
    def drop_v(self) -> float | None:
        """Voltage drop at the current it carries and the temperature that this current gives."""
        if self.row is None or self.route is None or self.length_m is None or self.ampacity_a is None:
            return None
        ambient, limit = self.route.ambient_c, self.row.insulation_c
        # without any ampacity (ambient at or above the class) the conductor is at least as hot as both
        hot = max(ambient, limit)
        if self.ampacity_a > 0.0:
            hot = running_temperature_c(self.current_a, self.ampacity_a, ambient, limit, self.bundle_c)
        return self.current_a * (resistance_ohm_m(self.row, hot) * self.length_m + self.contact_ohm)


def followed(problem: Problem, network: Network, places: Sequence[str]) -> Route | None:
    """The route through the places named, None where there is no such route."""
    if not places or any(place not in problem.place for place in places):
        return None
    try:
        return network.follow(tuple(places))
    except RouteError:
        return None


def shortest(problem: Problem, network: Network, start: str, end: str, line: Line = Line.WIRE) -> Route | None:
    """The shortest route between two places that is open to a line, None where there is none.

    Parameters
    ----------
    problem
        The problem.
    network
        Its route network.
    start
        Place where it starts.
    end
        Place where it ends.
    line
        Whether it is a wire or a cable.
    """
    if start not in problem.place or end not in problem.place:
        return None
    try:
        return network.shortest(start, end, line)
    except RouteError:
        return None


def class_asked(problem: Problem, table: WireTable, route: Route | None) -> float | None:
    """The lowest insulation class of a table that a route allows, None where the table has none."""
    asked = max(problem.wire_rules.insulation_c, route.insulation_c if route is not None else 0.0)
    rows = of_class(table, asked)
    return rows[0].insulation_c if rows else None


def row_of(table: WireTable, size: str, insulation_c: float | None) -> Wire | None:
    """The row of a wire table with this size and insulation class."""
    for row in table.wires:
        if row.size == size and row.insulation_c == insulation_c:
            return row
    return None


def table_of(problem: Problem, size: str, route: Route | None, *, branch: bool) -> WireTable:
    """The table that a size of a direct or given wire is taken from: the wire table first, where it has the size.

    Parameters
    ----------
    problem
        The problem with its wire table and its table of feed wires.
    size
        Name of the size.
    route
        The way of the wire, which may ask for better insulation; None where none is known.
    branch
        Whether it is a branch: that comes from the wire table only if it is on the shelf and not too thin there; from
        the other table any size does.

    Returns
    -------
    WireTable
        The wire table also where no table has the size.
    """
    tables = (problem.wires, problem.feed_wires)
    for table in tables:
        row = row_of(table, size, class_asked(problem, table, route))
        if row is not None and (table is problem.feed_wires or not branch or on_shelf(problem, row)):
            return table
    return next((table for table in tables if any(row.size == size for row in table.wires)), problem.wires)


def line_of_table(problem: Problem, table: WireTable) -> Line:
    """A size of the cable table is a cable, all others are wires."""
    return Line.CABLE if table is problem.feed_wires and table is not problem.wires else Line.WIRE


def on_shelf(problem: Problem, row: Wire) -> bool:
    """Whether a row of the wire table is on the shelf, and not below the smallest area."""
    rules = problem.wire_rules
    return (not rules.sizes or row.size in rules.sizes) and accepts((rules.smallest_mm2, inf), row.area_mm2)


def free_air_a(problem: Problem, row: Wire | None, route: Route | None) -> float | None:
    """What a conductor may carry outside of bundles: free-air ampacity times the allowance."""
    if row is None or route is None:
        return None
    return ampacity_a(row, route.ambient_c, problem.altitude_m) * problem.margins.ampacity


def accepts(span_mm2: tuple[float, float], area_mm2: float) -> bool:
    """Whether a terminal or contact takes a conductor area; half a percent is allowed either way."""
    low, high = span_mm2
    return low * 0.995 <= area_mm2 <= high * 1.005


def distance_mm2(span_mm2: tuple[float, float], area_mm2: float) -> float:
    """How far a conductor area lies outside the range of a terminal or contact."""
    low, high = span_mm2
    return max(low - area_mm2, area_mm2 - high, 0.0)
