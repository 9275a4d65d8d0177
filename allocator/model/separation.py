"""Separation: the rows on bundles that a solution breaks, by the exact rule, to be added next."""

from __future__ import annotations

from collections.abc import Collection

from allocator.model.bundle_excess import Excess, Rule, excesses
from allocator.model.bundle_temperatures import too_warm
from allocator.model.segment_contents import SegmentContents, feed_currents_a, segment_contents
from allocator.model.solution import Solution
from allocator.options import LazyRows, OptionList
from allocator.problem import Bundling, Cables
from allocator.wiring.bundle_heat import SQUARES_STEP_MM2

STEPS = (0.6, 0.8, 1.0)
"""Shares of the squares of a bundle that is too warm, at which its rows are exact.

With the last alone, one wire less in the bundle slips past the rows: the hill climber took ten rounds, and now two.
"""

NEAR = 0.1
"""A point is left out where rows are exact within this share of it."""


def separate(option_list: OptionList, solution: Solution) -> LazyRows:
    """The lazy rows that a solution breaks: segments where it breaks a rule on bundles or cables, or none."""
    problem = option_list.problem
    if problem.margins.bundle is Bundling.NONE or solution.objective_g is None:
        return LazyRows()
    lazy, segments = LazyRows(), segment_contents(option_list, solution)
    for e, segment in segments.items():
        for excess in excesses(problem, e, segment):
            lazy |= _lazy_rows(excess, segment, option_list.lazy)
    if lazy.bundles and problem.margins.bundle is Bundling.TABLE:
        # one more wire raises what a loaded bundle bears: a way into a segment counts as much as one round it
        lazy |= LazyRows(dict.fromkeys(range(len(problem.segments)), ()))
    for found in too_warm(option_list, solution, segments):
        for one in found.bundles:
            lazy |= LazyRows(
                {one.segment: _steps(segments[one.segment], one.segment, option_list.lazy)},
                {one.segment: (one.condition,)},
            )
        lazy |= LazyRows(warm=found.sets)
    return lazy | LazyRows(feeds=_feeds_inside(option_list, solution, lazy.bundles))


def _lazy_rows(excess: Excess, segment: SegmentContents, known: LazyRows) -> LazyRows:
    """The lazy rows of a segment in which a rule is broken."""
    e = excess.segment
    if excess.rule is Rule.CABLES:
        return LazyRows(cables={e: segment.side_by_side})
    if excess.rule is Rule.HEAT and excess.condition is not None:
        return LazyRows({e: _steps(segment, e, known)}, {e: (excess.condition,)}, {e: excess.hottest_w_m})
    return LazyRows({e: ()})


def _steps(segment: SegmentContents, e: int, known: LazyRows) -> tuple[float, ...]:
    """The squares themselves, and shares of them where no rows are near."""
    before = known.bundles.get(e, ())
    steps = []
    for share in STEPS:
        step = round(round(share * segment.squares_mm2 / SQUARES_STEP_MM2) * SQUARES_STEP_MM2, 6)
        if share == 1.0 or all(abs(step - other) > NEAR * step for other in before):
            steps.append(step)
    return tuple(steps)


def broken_by(option_list: OptionList, solution: Solution) -> tuple[Excess, ...]:
    """Every rule on bundles and cables that a solution breaks, with its amounts."""
    problem, segments = option_list.problem, segment_contents(option_list, solution)
    found = [excess for e, segment in segments.items() for excess in excesses(problem, e, segment)]
    for one in too_warm(option_list, solution, segments):
        warmest = max(one.bundles, key=lambda bundle: bundle.body_c)
        found.append(Excess(Rule.DROP, warmest.segment, one.over, one.limit, warmest.condition))
    return tuple(found)


def _feeds_inside(
    option_list: OptionList, solution: Solution, bundles: Collection[int]
) -> dict[int, tuple[float, ...]]:
    """What feeds carry that lie inside bundles which get too warm, by slot."""
    if option_list.problem.margins.cables is Cables.BESIDE:
        return {}
    return {
        option_list.feeds[f].slot: tuple(sorted(set(feed_currents_a(option_list, solution, option_list.feeds[f].slot))))
        for f in solution.feeds
        if any(e in bundles for e in option_list.feeds[f].route.segments)
    }
