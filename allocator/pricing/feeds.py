"""Feed options: cable from the source to a slot, with what it may carry."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from allocator.clock import heed_clock
from allocator.pricing.crowding import Crowd
from allocator.pricing.slots import Slot
from allocator.problem import Problem, Wire
from allocator.routing import Network, Route
from allocator.wiring import (
    ampacity_a,
    copper_g,
    of_class,
    resistance_ohm_m,
    running_temperature_c,
    standard_fuses,
)


@dataclass(frozen=True, slots=True)
class FeedOption:
    """A cable size on a route; ``capacity_ma`` is the largest whole milliamperes that fuse, cable and drop allow.

    ``fuse_a`` is the largest fuse that the cable allows, ``ampacity_a`` what it carries outside of bundles. ``needs``,
    ``caps`` and ``crowded`` are as of a conductor.
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
    needs: float = 0.0
    caps: tuple[tuple[int, int], ...] = ()
    crowded: tuple[int, ...] = ()


def feed_options(
    problem: Problem, network: Network, crowd: Crowd | None, slot: Slot, first: int
) -> tuple[FeedOption, ...]:
    """Every feed of a slot that no other beats in copper, capacity, bulkheads and bundles; numbered from ``first``."""
    listed: list[FeedOption] = []
    heed_clock()
    for route in network.routes(slot.source.place, slot.site):
        length = route.length_m + problem.margins.tail_m
        for wire in of_class(problem.feed_wires, max(problem.wire_rules.insulation_c, route.insulation_c)):
            listed += feeds_of_cable(problem, crowd, slot, wire, route, length)
    listed.sort(
        key=lambda o: (o.copper_g, -o.capacity_ma, len(o.route.bulkheads), len(o.caps), o.route.places, o.fuse_a)
    )
    starts = any(load.inrush_a is not None for load in problem.loads)

    def beats(held: FeedOption, option: FeedOption) -> bool:
        stands = not starts or held.fuse_a >= option.fuse_a
        return held.copper_g <= option.copper_g and stands and _does_as_much(held, option, slot.limit_ma)

    kept = [
        option
        for n, option in enumerate(listed)
        if not any(
            beats(other, option) and (m < n or not beats(option, other)) for m, other in enumerate(listed) if m != n
        )
    ]
    return tuple(replace(option, index=first + n) for n, option in enumerate(kept))


def largest_capacity_ma(problem: Problem, network: Network, slot: Slot) -> int:
    """What the largest feed of a slot may carry, if no bundle were to heat it."""
    heed_clock()
    return max(
        (
            feed.capacity_ma
            for route in network.routes(slot.source.place, slot.site)
            for wire in of_class(problem.feed_wires, max(problem.wire_rules.insulation_c, route.insulation_c))
            for feed in feeds_of_cable(problem, None, slot, wire, route, route.length_m + problem.margins.tail_m)
        ),
        default=0,
    )


def feeds_of_cable(
    problem: Problem, crowd: Crowd | None, slot: Slot, wire: Wire, route: Route, length_m: float
) -> list[FeedOption]:
    """What one cable along one route may carry: behind its largest fuse, or in bundles behind each; not numbered."""
    found = []
    ampacity = problem.margins.ampacity * ampacity_a(wire, route.ambient_c, problem.altitude_m)
    for fuse in fuses_up_to(ampacity) if crowd is not None else fuses_up_to(ampacity)[-1:]:
        needs = fuse / ampacity
        if crowd is not None and not crowd.fits(route, needs):
            continue
        capacity = _capacity_ma(problem, wire, route, length_m, ampacity if crowd is None else None, fuse)
        if capacity > 0:
            caps = () if crowd is None else crowd.caps(route, needs)
            shared = () if crowd is None else crowd.shared(route)
            grams, rated = copper_g(wire, length_m), (ampacity, fuse, capacity)
            found.append(FeedOption(0, slot.index, wire, route, length_m, grams, *rated, needs, caps, shared))
    return found


def _does_as_much(held: FeedOption, option: FeedOption, limit_ma: int) -> bool:
    """Whether one feed serves wherever another does: more than the unit's limit is never needed."""
    caps = dict(option.caps)
    return (
        min(held.capacity_ma, limit_ma) >= min(option.capacity_ma, limit_ma)
        and all(held.route.bulkheads.count(x) <= option.route.bulkheads.count(x) for x in held.route.bulkheads)
        and Counter(held.crowded) <= Counter(option.crowded)
        and all(segment in caps and most >= caps[segment] for segment, most in held.caps)
    )


def fuses_up_to(ampacity: float) -> list[float]:
    """Standard fuses that a cable allows."""
    return [fuse for fuse in standard_fuses() if fuse <= ampacity * (1.0 + 1e-9)]


def _capacity_ma(
    problem: Problem, wire: Wire, route: Route, length_m: float, ampacity: float | None, fuse: float
) -> int:
    """Largest whole milliamperes I with I <= fuse_use x fuse and I R(T(I)) <= feed_drop x running.

    ``ampacity`` None, in bundles: the cable is taken to run at its insulation class.
    """
    limit_v = problem.margins.feed_drop * problem.running_v * (1.0 + 1e-9)

    def fits(milliamperes: int) -> bool:
        current = milliamperes / 1000.0
        hot = wire.insulation_c
        if ampacity is not None:
            hot = running_temperature_c(current, ampacity, route.ambient_c, wire.insulation_c)
        return current * resistance_ohm_m(wire, hot) * length_m <= limit_v

    low, high = 0, int(1000.0 * fuse * problem.margins.fuse_use + 1e-6)
    if fits(high):
        return high
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low
