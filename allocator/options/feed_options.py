"""Feed options: cable from the source to a slot, with what it may carry."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from allocator.clock import heed_clock
from allocator.options.slots import Slot
from allocator.options.workbench import Workbench
from allocator.problem import Line, Problem, Wire
from allocator.routing import Route
from allocator.wiring import (
    ampacity_a,
    copper_g,
    fuse_stands_a,
    of_class,
    resistance_ohm_m,
    running_temperature_c,
    standard_fuses,
    warmest_bundle_c,
)

FOR_EVER_S = 3600.0
"""A start of unknown length is taken to last."""


@dataclass(frozen=True, slots=True)
class FeedOption:
    """A cable size on a route; ``capacity_ma`` is the largest whole milliamperes that fuse, cable and drop allow.

    ``fuse_a`` is the largest fuse that the cable allows, or, where it lies inside a bundle with lazy rows, any.
    ``ampacity_a``, ``side``, ``at_most`` and ``bundles`` are as of a conductor. ``stays``: the name of the unit whose
    feed stays as built by it, of a revision.
    """

    index: int
    slot: int
    wire: Wire
    route: Route
    length_m: float
    copper_g: float
    ampacity_a: float
    fuse_a: float
    capacity_ma: int
    side: tuple[int, ...] = ()
    at_most: int | None = None
    bundles: tuple[int, ...] = ()
    stays: str = ""


def feed_options(bench: Workbench, slot: Slot, first: int) -> tuple[FeedOption, ...]:
    """Every feed of a slot that no other beats in copper, capacity, bulkheads and bundles; numbered from ``first``."""
    problem = bench.problem
    listed = [
        feed
        for route, wire in _cables(bench, slot)
        for feed in feeds_of_cable(bench, slot, wire, route, route.length_m + problem.margins.tail_m)
    ]
    listed.sort(
        key=lambda o: (o.copper_g, -o.capacity_ma, len(o.route.bulkheads), len(o.side), o.route.places, o.fuse_a)
    )
    enough_a = _enough_for_starts_a(problem, slot)

    def beats(held: FeedOption, option: FeedOption) -> bool:
        stands = min(held.fuse_a, enough_a) >= min(option.fuse_a, enough_a)
        return held.copper_g <= option.copper_g and stands and _does_as_much(held, option, slot.limit_ma)

    kept = [
        option
        for n, option in enumerate(listed)
        if not any(
            beats(other, option) and (m < n or not beats(option, other)) for m, other in enumerate(listed) if m != n
        )
    ]
    return tuple(replace(option, index=first + n) for n, option in enumerate(kept))


def _enough_for_starts_a(problem: Problem, slot: Slot) -> float:
    """A fuse that withstands every start on top of all that the unit may carry; 0 where nothing starts."""
    full = slot.limit_ma / 1000.0
    starting = [(load.inrush_a, load.inrush_s) for load in problem.loads if load.inrush_a is not None]
    asked = (SURELY * (full + a) / fuse_stands_a(1.0, FOR_EVER_S if s is None else s) for a, s in starting)
    return max(asked, default=0.0)


SURELY = 1.001
"""A factor beyond what rounding to whole milliamperes can change."""


def _cables(bench: Workbench, slot: Slot) -> Iterator[tuple[Route, Wire]]:
    """Every cable of the feed table along every route to a slot."""
    problem = bench.problem
    for route in bench.routes(slot.source.place, slot.site, (Line.CABLE,)):
        heed_clock()
        for wire in of_class(problem.feed_wires, max(problem.wire_rules.insulation_c, route.insulation_c)):
            yield route, wire


def largest_capacity_ma(bench: Workbench, slot: Slot) -> int:
    """What the largest feed of a slot may carry, if it lay alone."""
    margins = bench.problem.margins
    return max(
        (
            feed.capacity_ma
            for route, wire in _cables(bench, slot)
            for feed in feeds_of_cable(bench, slot, wire, route, route.length_m + margins.tail_m)
        ),
        default=0,
    )


def feeds_of_cable(bench: Workbench, slot: Slot, wire: Wire, route: Route, length_m: float) -> list[FeedOption]:
    """What one cable along one route may carry behind its largest fuse, by how many lie side by side; not numbered.

    Parameters
    ----------
    bench
        The problem with all that its options are listed from.
    slot
        The unit at its site.
    wire
        The row of the wire table.
    route
        The route that it takes.
    length_m
        Length to cut, in m.
    """
    found = []
    problem = bench.problem
    alone = problem.margins.ampacity * ampacity_a(wire, route.ambient_c, problem.altitude_m)
    side, bundles = bench.side_on(route), bench.bundles_on(route, Line.CABLE)
    for at_most, factor in bench.neighbours(route, Line.CABLE):
        ampacity = alone * factor
        for fuse in fuses_up_to(ampacity) if bundles else fuses_up_to(ampacity)[-1:]:
            capacity = _capacity_ma(problem, wire, route, length_m, ampacity, fuse)
            if capacity > 0:
                grams, rated = copper_g(wire, length_m), (ampacity, fuse, capacity)
                found.append(FeedOption(0, slot.index, wire, route, length_m, grams, *rated, side, at_most, bundles))
    return found


def _does_as_much(held: FeedOption, option: FeedOption, limit_ma: int) -> bool:
    """Whether one feed serves wherever another does: more than the unit's limit is never needed."""
    return (
        min(held.capacity_ma, limit_ma) >= min(option.capacity_ma, limit_ma)
        and all(held.route.bulkheads.count(x) <= option.route.bulkheads.count(x) for x in held.route.bulkheads)
        and set(held.side) <= set(option.side)
        and _no_warmer(held, option)
        and (held.at_most is None or (option.at_most is not None and held.at_most >= option.at_most))
    )


def _no_warmer(held: FeedOption, option: FeedOption) -> bool:
    """Whether a feed warms no bundle with lazy rows that another does not: of one size, behind no larger fuse."""
    alike = held.wire == option.wire and held.fuse_a <= option.fuse_a and set(held.bundles) <= set(option.bundles)
    return not held.bundles or alike


def fuses_up_to(ampacity: float) -> list[float]:
    """Standard fuses that a cable allows."""
    return [fuse for fuse in standard_fuses() if fuse <= ampacity * (1.0 + 1e-9)]


def _capacity_ma(problem: Problem, wire: Wire, route: Route, length_m: float, ampacity: float, fuse: float) -> int:
    """Largest whole milliamperes I with I <= fuse_use x fuse and I R(T(I)) <= feed_drop x running."""
    limit_v = problem.margins.feed_drop * problem.running_v * (1.0 + 1e-9)
    bundle_c = warmest_bundle_c(problem, route.ambient_c, wire.insulation_c) if route.segments else None

    def fits(milliamperes: int) -> bool:
        current = milliamperes / 1000.0
        hot = running_temperature_c(current, ampacity, route.ambient_c, wire.insulation_c, bundle_c)
        return current * resistance_ohm_m(wire, hot) * length_m <= limit_v

    low, high = 0, int(1000.0 * fuse * problem.margins.fuse_use + 1e-6)
    if fits(high):
        return high
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low
