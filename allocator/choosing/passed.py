"""Bundles that a choice makes warmer than they may get, by the exact rule: what a search has to watch next."""

from __future__ import annotations

from allocator.choosing.choose import Choice
from allocator.choosing.lying import Segment, lying
from allocator.pricing import Pricing, Watch
from allocator.pricing.bench import stated
from allocator.problem import Bundling, Problem
from allocator.wiring import bundle_factor, bundle_heat, surroundings_of
from allocator.wiring.bundle_heat import TOLERANCE, beside_cable_a, square_mm2

ROUNDING = 1.0 + 1e-9


def passed(pricing: Pricing, choice: Choice) -> Watch:
    """The segments in which a choice breaks a rule on bundles or cables, to be watched; none where it keeps them all."""
    problem = pricing.problem
    if problem.margins.bundle is Bundling.NONE or choice.objective_g is None:
        return Watch()
    found = lying(pricing, choice)
    bundles = {
        e: (squares_mm2(segment),) if problem.margins.bundle is Bundling.HEAT else ()
        for e, segment in found.items()
        if _too_warm(problem, e, segment)
    }
    cables = {e for e, segment in found.items() if _too_close(problem, segment)}
    return Watch(bundles, frozenset(cables))


def squares_mm2(segment: Segment) -> float:
    """Sum of the squared diameters of what lies in a bundle."""
    return sum(own.count * square_mm2(own.wire.wire) for own in segment.bundle)


def _too_warm(problem: Problem, e: int, segment: Segment) -> bool:
    """Whether the wires of a segment pass the rule that holds them together."""
    if not segment.bundle:
        return False
    if problem.margins.bundle is Bundling.TABLE:
        return _past_stated(problem, e, segment)
    around, wires = surroundings_of(problem, e), sum(own.count for own in segment.bundle)
    if around is None:
        return False
    if segment.cables and any(
        own.wire.trip_a > beside_cable_a(own.wire.wire, around) * ROUNDING for own in segment.bundle
    ):
        return True
    if wires < 2:
        return False
    beside = bool(segment.cables)
    return any(bundle_heat(segment.wires(m), around, beside=beside).passed for m in range(len(problem.conditions)))


def _past_stated(problem: Problem, e: int, segment: Segment) -> bool:
    most, loading = stated(problem.segments[e], problem.margins)
    if sum(own.count for own in segment.bundle) > most:
        return True
    bears = loading * sum(own.count * own.ampacity_a for own in segment.bundle)
    carried = (sum(own.count * own.currents_a[m] for own in segment.bundle) for m in range(len(problem.conditions)))
    return most > 1 and any(current > bears * (1.0 + TOLERANCE) for current in carried)


def _too_close(problem: Problem, segment: Segment) -> bool:
    """Whether a cable has more beside it than it bears."""
    cables = segment.side_by_side
    return any(
        cables > own.at_most
        if own.at_most is not None
        else own.wire.trip_a > own.ampacity_a * bundle_factor(cables, 1.0) * ROUNDING
        for own in segment.cables
    )
