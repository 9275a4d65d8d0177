"""Changes of a problem tried: by the circuits of a choice that is known, or by solving the changed problem."""

from __future__ import annotations

from collections import Counter

from allocator.advising.changes import Change, applied
from allocator.advising.elastic import Stretch
from allocator.advising.stopwatch import Stopwatch
from allocator.choosing import choose, pairs_of
from allocator.layout import FEASIBLE, NOTHING_FOUND, OPTIMAL
from allocator.pricing import Pricing, price, unpriced
from allocator.problem import Problem, ProblemError
from allocator.search import Found, until_none_is_too_warm
from allocator.solving import InternalError, finished, solve

ANY_LAYOUT = 1.0
"""A gap that any layout meets: a way out is tried for whether there is one, not for the best."""

TRIAL_SHARE = 0.5
"""Of the time left, what one changed problem may take to be solved."""


def as_chosen(problem: Problem, changes: tuple[Change, ...], stretch: Stretch, watch: Stopwatch) -> bool:
    """Whether the changed problem has a layout of the circuits that pass limits of the problem, one found clean."""
    try:
        changed = applied(problem, changes)
        pairs = _pairs(stretch, unpriced(changed))
        tight, own, _ = until_none_is_too_warm(
            lambda warm: price(changed, only=pairs, watch=warm),
            lambda pricing: choose(pricing, time_limit_s=watch.share_s(TRIAL_SHARE), gap=ANY_LAYOUT),
            lambda pricing: pricing,
            stretch.pricing.watch,
        )
        return own.objective_g is not None and bool(finished(changed, Found(tight, own, tight)))
    except (ProblemError, InternalError):
        return False


def _pairs(stretch: Stretch, changed: Pricing) -> set[tuple[tuple[tuple[int, int], ...], int]]:
    """Members and slot of each chosen circuit, numbered as in the changed problem: loads may be alike there."""
    old = stretch.pricing
    slots = {(s.kind, s.site, s.copy): s.index for s in changed.slots}
    group = {load.name: own.index for own in changed.alike for load in own.loads}
    pairs = set()
    for members, number in pairs_of(old, stretch.choice):
        slot = old.slots[number]
        counts: Counter[int] = Counter()
        for g, count in members:
            counts[group[old.alike[g].sample.name]] += count
        if (slot.kind, slot.site, slot.copy) in slots:
            pairs.add((tuple(sorted(counts.items())), slots[slot.kind, slot.site, slot.copy]))
    return pairs


def possible(problem: Problem, changes: tuple[Change, ...], watch: Stopwatch) -> bool:
    """Whether the changed problem has a layout, and one that the check finds clean."""
    try:
        layout = solve(applied(problem, changes), gap=ANY_LAYOUT, time_limit_s=watch.share_s(TRIAL_SHARE))
    except ProblemError:
        return False
    watch.undecided |= layout.status == NOTHING_FOUND
    return layout.status in (OPTIMAL, FEASIBLE)
