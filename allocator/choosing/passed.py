"""Bundles that a choice makes warmer than they may get, by the exact rule: what a search has to watch next."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field

from allocator.choosing.choose import Choice
from allocator.choosing.lying import Lying, of_conductor, of_core, of_feed
from allocator.pricing import Pricing, Watch
from allocator.pricing.bench import stated
from allocator.problem import Bundling, Cables, Problem
from allocator.wiring import BundledWire, bundle_factor, bundle_heat, surroundings_of
from allocator.wiring.bundle_heat import TOLERANCE, beside_cable_a, square_mm2

ROUNDING = 1.0 + 1e-9


def passed(pricing: Pricing, choice: Choice) -> Watch:
    """The segments in which a choice breaks a rule on bundles or cables, to be watched; none where it keeps them all."""
    problem = pricing.problem
    if problem.margins.bundle is Bundling.NONE or choice.objective_g is None:
        return Watch()
    watch = Watch()
    for e, segment in lying(pricing, choice).items():
        watch |= _too_warm(problem, e, segment)
        if _too_close(problem, segment):
            watch |= Watch(cables={e: segment.side_by_side})
    return watch | Watch(feeds=_feeds_inside(pricing, choice, watch.bundles))


def _feeds_inside(pricing: Pricing, choice: Choice, bundles: Collection[int]) -> dict[int, tuple[float, ...]]:
    """What feeds carry that lie inside bundles which get too warm, by slot."""
    if pricing.problem.margins.cables is Cables.BESIDE:
        return {}
    return {
        pricing.feeds[f].slot: tuple(sorted(set(feed_currents_a(pricing, choice, pricing.feeds[f].slot))))
        for f in choice.feeds
        if any(e in bundles for e in pricing.feeds[f].route.segments)
    }


@dataclass
class Segment:
    """What lies in one segment: in its bundle, and beside it."""

    bundle: list[Lying] = field(default_factory=list)
    cables: list[Lying] = field(default_factory=list)

    @property
    def side_by_side(self) -> int:
        """Cables that lie side by side; a bundle of wires counts as one."""
        return sum(own.count for own in self.cables) + bool(self.bundle)

    def wires(self, condition: int) -> list[BundledWire]:
        """Wires of the bundle one by one, with what they carry in a condition."""
        return [own.at(condition) for own in self.bundle for _ in range(own.count)]


def lying(pricing: Pricing, choice: Choice) -> dict[int, Segment]:
    """What a choice lays into each segment; those of nothing left out."""
    found: dict[int, Segment] = {}
    for own in _laid(pricing, choice):
        for e in own.route.segments:
            segment = found.setdefault(e, Segment())
            (segment.cables if own.beside else segment.bundle).append(own)
    return dict(sorted(found.items()))


def _laid(pricing: Pricing, choice: Choice) -> Iterator[Lying]:
    problem = pricing.problem
    for o, times in choice.options:
        for own in pricing.options[o].conductors:
            yield from [of_conductor(problem, own)] * times
    for d in choice.direct:
        yield from (of_conductor(problem, own) for own in pricing.direct[d].plan.conductors)
    for f in choice.feeds:
        yield of_feed(problem, pricing.feeds[f], feed_currents_a(pricing, choice, pricing.feeds[f].slot))
    yield from (of_core(problem, core) for core in pricing.given)


def feed_currents_a(pricing: Pricing, choice: Choice, slot: int) -> tuple[float, ...]:
    """What the feed of a slot carries in each condition, with the worst spreads and what is kept spare."""
    members: Counter[int] = Counter()
    for o, times in choice.options:
        if pricing.options[o].slot == slot:
            members.update({g: n * times for g, n in pricing.options[o].candidate.members})
    return tuple(
        (_worst_ma(pricing, members, m) + pricing.slots[slot].spare_current_ma) / 1000.0
        for m in range(len(pricing.problem.conditions))
    )


def _worst_ma(pricing: Pricing, members: Counter[int], condition: int) -> int:
    heating = sum(n * pricing.heating_ma[g][condition] for g, n in members.items())
    spreads = sorted((pricing.spread_ma[g][condition] for g, n in members.items() for _ in range(n)), reverse=True)
    return heating + sum(spreads[: pricing.problem.margins.robust])


def squares_mm2(segment: Segment) -> float:
    """Sum of the squared diameters of what lies in a bundle."""
    # whole steps add up to whole steps
    return round(sum(own.count * square_mm2(own.wire.wire) for own in segment.bundle), 6)


def _too_warm(problem: Problem, e: int, segment: Segment) -> Watch:
    """What to watch of a segment whose wires pass the rule that holds them together; nothing where they keep it."""
    if not segment.bundle:
        return Watch()
    if problem.margins.bundle is Bundling.TABLE:
        return Watch({e: ()}) if _past_stated(problem, e, segment) else Watch()
    around, beside = surroundings_of(problem, e), bool(segment.cables)
    if around is None:
        return Watch()
    found = Watch()
    if beside and any(own.wire.trip_a > beside_cable_a(own.wire.wire, around) * ROUNDING for own in segment.bundle):
        found = Watch({e: ()})
    if sum(own.count for own in segment.bundle) > 1:
        for m in range(len(problem.conditions)):
            heat = bundle_heat(segment.wires(m), around, beside=beside)
            if heat.passed:
                found |= Watch({e: (squares_mm2(segment),)}, {e: (m,)}, {e: heat.worst_w_m})
    return found


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
        else own.wire.trip_a > own.alone_a * bundle_factor(cables, 1.0) * ROUNDING
        for own in segment.cables
    )
