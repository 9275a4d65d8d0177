"""What lies in each segment of a layout, and how warm the middle of its bundle is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from allocator.evaluation.context import Context
from allocator.evaluation.laid_conductors import Conductor
from allocator.evaluation.resolved_circuits import carried, divided
from allocator.once import once
from allocator.problem import Bundling
from allocator.wiring import surroundings_of
from allocator.wiring.bundle_heat import square_mm2


@dataclass(frozen=True, slots=True)
class SegmentLine:
    """Alike conductors in one segment, and what each carries in each condition."""

    conductor: Conductor
    cores: int
    currents_a: tuple[float, ...]
    guard_a: float
    beside: bool


@once
def by_segment(context: Context) -> tuple[tuple[int, list[SegmentLine]], ...]:
    """What lies in each segment that has anything, in the order of the problem's segments."""
    laid: dict[int, list[SegmentLine]] = defaultdict(list)
    for one in _laid(context):
        if one.conductor.route is not None:
            for segment in one.conductor.route.segments:
                laid[segment].append(one)
    return tuple(sorted(laid.items()))


def _laid(context: Context) -> Iterator[SegmentLine]:
    """Every conductor of a layout with its current in each condition, spreads included."""
    problem = context.problem
    conditions = range(len(problem.conditions))
    for name, feed in context.feeds.items():
        circuits, spare = context.on_unit(name), problem.unit[name].spare_current_a
        currents = tuple(context.heating_a(circuits, m) + spare for m in conditions)
        yield _one(context, feed, 1, currents, feed.guard_a or 0.0)
    for branch in context.branches:
        for n, conductor in branch.pairs():
            loads = [problem.load[name] for name in carried(branch, n) if name in problem.load]
            together = (sum(load.full_current_a * load.heating(m) for load in loads) for m in conditions)
            currents = tuple(current / divided(branch, n) for current in together)
            yield _one(context, conductor, 1, currents, conductor.guard_a or 0.0)
    for given in context.given:
        if given.conductor is not None and given.wire is not None:
            current = given.wire.current_a
            yield _one(context, given.conductor, given.wire.cores, (current,) * len(conditions), current)


def _one(context: Context, own: Conductor, cores: int, currents: tuple[float, ...], guard_a: float) -> SegmentLine:
    return SegmentLine(own, cores, currents, guard_a, context.problem.lies_beside(own.line))


def squares_of(laid: list[SegmentLine]) -> tuple[float, int]:
    """Squared diameters of all lines, and how many; one of unknown size takes no room, and another rule names it."""
    rows = [(one.cores, one.conductor.row) for one in laid if one.conductor.row is not None]
    return sum(cores * square_mm2(row) for cores, row in rows), sum(cores for cores, _ in rows)


def bodies_c(context: Context) -> dict[int, float]:
    """How warm the middle of each bundle of two wires or more gets by what they carry, in degC, by segment.

    In the condition in which it is warmest, every allowance counted. A bundle with a wire of no known size is left out:
    another rule names that wire.
    """
    problem, found = context.problem, {}
    for segment, laid in by_segment(context) if problem.margins.bundle is Bundling.HEAT else ():
        around, inside = surroundings_of(problem, segment), [one for one in laid if not one.beside]
        rows = [(one, one.conductor.row) for one in inside if one.conductor.row is not None]
        if around is None or len(rows) < len(inside) or sum(one.cores for one in inside) < 2:
            continue
        squares_mm2, _ = squares_of(inside)
        heat = max(
            sum(one.cores * around.given_w_m(row, one.currents_a[m]) for one, row in rows)
            for m in range(len(problem.conditions))
        )
        rise = around.rise_k(heat, squares_mm2, beside=any(one.beside for one in laid))
        found[segment] = around.ambient_c + rise
    return found
