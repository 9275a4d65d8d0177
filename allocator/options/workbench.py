"""What the listing of options works with, and what it has worked out already."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from allocator.options.already_built import FinishedWire
from allocator.options.conductor_option import AREA_TOLERANCE
from allocator.options.cut_short import Cut, CutShort
from allocator.options.lazy_rows import LazyRows
from allocator.options.pruning import PruningBound
from allocator.options.wiring_plan import WiringPlan
from allocator.problem import Bundling, Line, Problem, Wire, WireTable
from allocator.routing import Network, Route
from allocator.routing.network import Asked
from allocator.routing.routes import MOST_ROUTES
from allocator.wiring import bundle_factor, of_class


@dataclass(frozen=True)
class Workbench:
    """A problem at work. ``lazy``: segments whose bundles have rows, ``prunings``: what is too heavy for any
    better layout; ``guarded`` are the load groups of functions that a bulkhead must not take away; ``returns`` are
    finished return wires by load group.

    ``listed`` keeps plans made before, ``cut`` what was cut short, ``asked`` the routes that were asked for, ``usable``
    wires by class and tables.
    """

    problem: Problem
    network: Network
    runs: Mapping[tuple[str, str], float]
    lazy: LazyRows = field(default_factory=LazyRows)
    prunings: tuple[PruningBound, ...] = ()
    guarded: frozenset[int] = frozenset()
    returns: Mapping[int, FinishedWire] = field(default_factory=dict)
    listed: dict[object, list[WiringPlan]] = field(default_factory=dict)
    cut: set[CutShort] = field(default_factory=set)
    asked: set[Asked] = field(default_factory=set)
    usable: dict[tuple[float, tuple[str, ...]], list[tuple[Wire, Line]]] = field(default_factory=dict)

    def wires(self, route: Route, tables: tuple[WireTable, ...]) -> list[tuple[Wire, Line]]:
        """Wires of the lowest class that a route asks for, each size from the first table that has it, by area.

        Of the problem's wire table only what is on the shelf and not below the smallest size; what comes from the other
        is a cable.
        """
        asked = max(self.problem.wire_rules.insulation_c, route.insulation_c)
        key = (asked, tuple(table.name for table in tables))
        if key not in self.usable:
            self.usable[key] = sorted(self._found(asked, tables), key=lambda found: found[0].area_mm2)
        return self.usable[key]

    def _found(self, asked_c: float, tables: Iterable[WireTable]) -> Iterable[tuple[Wire, Line]]:
        rules = self.problem.wire_rules
        least = rules.smallest_mm2 * (1.0 - AREA_TOLERANCE)
        found: dict[str, tuple[Wire, Line]] = {}
        for table in tables:
            for wire in of_class(table, asked_c):
                usable = wire.area_mm2 >= least and (not rules.sizes or wire.size in rules.sizes)
                if wire.size not in found and (usable or table is not self.problem.wires):
                    found[wire.size] = (wire, Line.WIRE if table is self.problem.wires else Line.CABLE)
        return found.values()

    def bundles_on(self, route: Route, line: Line) -> tuple[int, ...]:
        """Segments of a route with lazy rows in whose bundle a line lies."""
        inside = not self.problem.lies_beside(line)
        return tuple(sorted({e for e in route.segments if inside and e in self.lazy.bundles}))

    def side_on(self, route: Route) -> tuple[int, ...]:
        """Segments of a cable's route whose cables are counted, or in which it lies beside a bundle with lazy rows."""
        return tuple(sorted({e for e in route.segments if e in self.lazy.segments}))

    def routes(self, start: str, end: str, lines: Iterable[Line]) -> tuple[Route, ...]:
        """Routes that are open to any of some lines, those round segments with lazy rows among them.

        A wire goes round bundles, a cable round others too.
        """
        bundles = frozenset(self.lazy.bundles)
        asked = [
            (start, end, line, self.lazy.segments if self.problem.lies_beside(line) else bundles) for line in lines
        ]
        self.asked.update(asked)
        found = dict.fromkeys(route for one in asked for route in self.network.routes(*one))
        return tuple(sorted(found, key=lambda route: (route.length_m, route.places)))

    @property
    def cut_short(self) -> tuple[CutShort, ...]:
        """What has not been listed in full so far: of wires, then of routes, then of trees."""
        cut = sorted(self.cut, key=lambda one: one.text)
        routes = (
            CutShort(Cut.ROUTES_ROUND, (one.start, one.places, MOST_ROUTES, one.around))
            if one.around
            else CutShort(Cut.ROUTES, (one.start, one.places, MOST_ROUTES))
            for one in self.network.capped(self.asked)
        )
        trees = (one for one in cut if one.what is Cut.TREE)
        return (*(one for one in cut if one.what is not Cut.TREE), *routes, *trees)

    def neighbours(self, route: Route, line: Line) -> Iterator[tuple[int | None, float]]:
        """How many may lie side by side (None: as many as are counted, or more), and the factor that this one keeps.

        A wire has no such number: what it bears in a bundle is held by the rows of the model.
        """
        least = max((with_bundle(self.problem, e) for e in route.segments), default=1)
        most = max((self.lazy.cables.get(e, least) for e in route.segments), default=least)
        if self.problem.lies_beside(line) and self.problem.margins.bundle is not Bundling.NONE:
            for abreast in range(least, most):
                yield abreast, factor_of(self.problem, route, line, abreast)
        yield None, factor_of(self.problem, route, line, most)


def with_bundle(problem: Problem, e: int) -> int:
    """What lies side by side where one cable lies: with it the bundle, unless no wire may pass there.

    Whether any wire does pass today is not asked: one that is added later must not make the cable too small.
    """
    return 1 if problem.segments[e].only is Line.CABLE else 2


def factor_of(problem: Problem, route: Route, line: Line, side_by_side: int | Mapping[int, int] | None = None) -> float:
    """Share of its ampacity that a route leaves to a line, from 0 to 1: the least over its segments.

    For conduit or foam, for what lies beside a cable, for a wire by what is stated for its bundle where the table
    holds it.

    Parameters
    ----------
    problem
        The problem with its segments.
    route
        The way of the wire or cable.
    line
        Whether it is a wire or a cable.
    side_by_side
        How many lie side by side where a cable lies, itself included: everywhere, or by segment. None: nothing else.
    """
    found = []
    for e in route.segments:
        abreast = side_by_side.get(e, 1) if isinstance(side_by_side, Mapping) else side_by_side or 1
        found.append(_in_segment(problem, e, line, abreast))
    return min(found, default=1.0)


def _in_segment(problem: Problem, e: int, line: Line, abreast: int) -> float:
    segment, bundling = problem.segments[e], problem.margins.bundle
    if bundling is Bundling.NONE:
        return segment.factor
    if problem.lies_beside(line):
        return segment.factor * bundle_factor(abreast, 1.0)
    if bundling is Bundling.TABLE:
        return segment.factor * bundle_factor(*problem.stated_of(segment))
    return segment.factor
