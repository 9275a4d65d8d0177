"""Bundles that a choice makes warmer than they may get, by the exact rule: what a search has to watch next."""

from __future__ import annotations

from collections.abc import Collection

from allocator.choosing.choose import Choice
from allocator.choosing.excess import Excess, Rule, excesses
from allocator.choosing.laid import Segment, feed_currents_a, laid
from allocator.choosing.warmth import too_warm
from allocator.pricing import Pricing, Watch
from allocator.problem import Bundling, Cables
from allocator.wiring.bundle_heat import SQUARES_STEP_MM2

STEPS = (0.6, 0.8, 1.0)
"""Shares of the squares of a bundle that is too warm, at which its rows are exact.

With the last alone a wire less in the bundle gets away from them: the hill climber took ten rounds, and takes two.
"""


def passed(pricing: Pricing, choice: Choice) -> Watch:
    """The segments in which a choice breaks a rule on bundles or cables, to be watched; none where it keeps all."""
    problem = pricing.problem
    if problem.margins.bundle is Bundling.NONE or choice.objective_g is None:
        return Watch()
    watch, segments = Watch(), laid(pricing, choice)
    for e, segment in segments.items():
        for excess in excesses(problem, e, segment):
            watch |= _watching(excess, segment)
    if watch.bundles and problem.margins.bundle is Bundling.TABLE:
        # one more wire raises what a loaded bundle bears: a way into a segment counts as much as one round it
        watch |= Watch(dict.fromkeys(range(len(problem.segments)), ()))
    for found in too_warm(pricing, choice, segments):
        for one in found.bundles:
            watch |= Watch({one.segment: _steps(segments[one.segment].squares_mm2)}, {one.segment: (one.condition,)})
        watch |= Watch(warm=found.sets)
    return watch | Watch(feeds=_feeds_inside(pricing, choice, watch.bundles))


def _watching(excess: Excess, segment: Segment) -> Watch:
    """What to watch of a segment in which a rule is broken."""
    e = excess.segment
    if excess.rule is Rule.CABLES:
        return Watch(cables={e: segment.side_by_side})
    if excess.rule is Rule.HEAT and excess.condition is not None:
        return Watch({e: _steps(segment.squares_mm2)}, {e: (excess.condition,)}, {e: excess.hottest_w_m})
    return Watch({e: ()})


def _steps(squares_mm2: float) -> tuple[float, ...]:
    return tuple(round(round(share * squares_mm2 / SQUARES_STEP_MM2) * SQUARES_STEP_MM2, 6) for share in STEPS)


def broken_by(pricing: Pricing, choice: Choice) -> tuple[Excess, ...]:
    """Every rule on bundles and cables that a choice breaks, with its amounts."""
    problem, segments = pricing.problem, laid(pricing, choice)
    found = [excess for e, segment in segments.items() for excess in excesses(problem, e, segment)]
    for one in too_warm(pricing, choice, segments):
        warmest = max(one.bundles, key=lambda bundle: bundle.body_c)
        found.append(Excess(Rule.DROP, warmest.segment, one.over, one.limit, warmest.condition))
    return tuple(found)


def _feeds_inside(pricing: Pricing, choice: Choice, bundles: Collection[int]) -> dict[int, tuple[float, ...]]:
    """What feeds carry that lie inside bundles which get too warm, by slot."""
    if pricing.problem.margins.cables is Cables.BESIDE:
        return {}
    return {
        pricing.feeds[f].slot: tuple(sorted(set(feed_currents_a(pricing, choice, pricing.feeds[f].slot))))
        for f in choice.feeds
        if any(e in bundles for e in pricing.feeds[f].route.segments)
    }
