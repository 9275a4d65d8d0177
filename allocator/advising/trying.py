"""Changes of a problem tried: by the circuits of a choice that is known, or by solving the changed problem."""

from __future__ import annotations

from allocator.advising.changes import Change, applied
from allocator.advising.elastic import Stretch
from allocator.advising.stopwatch import Stopwatch
from allocator.choosing import choose, pairs_of
from allocator.layout import FEASIBLE, NOTHING_FOUND, OPTIMAL
from allocator.pricing import price, unpriced
from allocator.problem import Problem, ProblemError
from allocator.search import Found
from allocator.solving import InternalError, finished, solve

ANY_LAYOUT = 1.0
"""A gap that any layout meets: a way out is tried for whether there is one, not for the best."""

TRIAL_SHARE = 0.5
"""Of the time left, what one changed problem may take to be solved."""


def as_chosen(problem: Problem, changes: tuple[Change, ...], stretch: Stretch, watch: Stopwatch) -> bool:
    """Whether the changed problem has a layout of the circuits that pass limits of the problem, one found clean."""
    try:
        changed = applied(problem, changes)
        slots = {(s.kind, s.site, s.copy): s.index for s in unpriced(changed).slots}
        old = {s.index: slots.get((s.kind, s.site, s.copy)) for s in stretch.pricing.slots}
        chosen = pairs_of(stretch.pricing, stretch.choice)
        pairs = {(members, slot) for members, n in chosen if (slot := old[n]) is not None}
        tight = price(changed, only=pairs)
        own = choose(tight, time_limit_s=watch.share_s(TRIAL_SHARE), gap=ANY_LAYOUT)
        return own.objective_g is not None and bool(finished(changed, Found(tight, own, tight)))
    except (ProblemError, InternalError):
        return False


def possible(problem: Problem, changes: tuple[Change, ...], watch: Stopwatch) -> bool:
    """Whether the changed problem has a layout, and one that the check finds clean."""
    try:
        layout = solve(applied(problem, changes), gap=ANY_LAYOUT, time_limit_s=watch.share_s(TRIAL_SHARE))
    except ProblemError:
        return False
    watch.undecided |= layout.status == NOTHING_FOUND
    return layout.status in (OPTIMAL, FEASIBLE)
