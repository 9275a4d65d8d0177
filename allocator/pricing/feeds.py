"""Feed options: cable from the source to a slot, with what it may carry."""

from __future__ import annotations

from dataclasses import dataclass

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
    """A cable size on a route; ``capacity_ma`` is the largest whole milliamperes that fuse, cable and drop allow."""

    index: int
    slot: int
    wire: Wire
    route: Route
    length_m: float
    copper_g: float
    ampacity_a: float
    capacity_ma: int


def feed_options(problem: Problem, network: Network, slot: Slot, first: int) -> tuple[FeedOption, ...]:
    """Every feed of a slot that no other beats in copper, capacity and bulkheads crossed; numbered from ``first``."""
    listed = []
    for route in network.routes(slot.source.place, slot.site):
        length = route.length_m + problem.margins.tail_m
        for wire in of_class(problem.feed_wires, max(problem.wire_rules.insulation_c, route.insulation_c)):
            ampacity = problem.margins.ampacity * ampacity_a(wire, route.ambient_c, problem.altitude_m)
            capacity = _capacity_ma(problem, wire, route, length, ampacity)
            if capacity > 0:
                listed.append((copper_g(wire, length), capacity, wire, route, length, ampacity))
    listed.sort(key=lambda o: (o[0], -o[1], len(o[3].bulkheads), o[3].places))
    kept: list[tuple[float, int, Wire, Route, float, float]] = []
    for option in listed:
        if not any(k[1] >= option[1] and _crosses_no_more(k[3], option[3]) for k in kept):
            kept.append(option)
    return tuple(
        FeedOption(first + n, slot.index, wire, route, length, copper, ampacity, capacity)
        for n, (copper, capacity, wire, route, length, ampacity) in enumerate(kept)
    )


def _crosses_no_more(route: Route, other: Route) -> bool:
    return all(route.bulkheads.count(name) <= other.bulkheads.count(name) for name in set(route.bulkheads))


def _capacity_ma(problem: Problem, wire: Wire, route: Route, length_m: float, ampacity: float) -> int:
    """Largest whole milliamperes I with I <= fuse_use x fuse <= ampacity and I R(T(I)) <= feed_drop x running."""
    fuses = [fuse for fuse in standard_fuses() if fuse <= ampacity * (1.0 + 1e-9)]
    if not fuses:
        return 0
    limit_v = problem.margins.feed_drop * problem.running_v * (1.0 + 1e-9)

    def fits(milliamperes: int) -> bool:
        current = milliamperes / 1000.0
        hot = running_temperature_c(current, ampacity, route.ambient_c, wire.insulation_c)
        return current * resistance_ohm_m(wire, hot) * length_m <= limit_v

    low, high = 0, int(1000.0 * fuses[-1] * problem.margins.fuse_use + 1e-6)
    if fits(high):
        return high
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low
