"""Changes of a problem tried: by the circuits of a solution at hand, or by solving the changed problem."""

from __future__ import annotations

from collections import Counter
from functools import partial

from allocator.changes.change import ProblemChange, applied
from allocator.layout import FEASIBLE, NOTHING_FOUND, OPTIMAL
from allocator.model import pairs_of
from allocator.model.elastic import Stretch
from allocator.options import OptionList, empty_option_list, list_options
from allocator.problem import Problem, ProblemError
from allocator.search.driver import Driver, Target
from allocator.search.incumbent import latest
from allocator.search.solve import InternalError, finished, solve
from allocator.search.stopwatch import Stopwatch
from allocator.search.time_limit import Clock

ANY_LAYOUT = 1.0
"""A gap that any layout meets: a way out is tried for whether there is one, not for the best."""

TRIAL_SHARE = 0.5
"""Of the time left, what one changed problem may take to be solved."""


def as_solved(problem: Problem, changes: tuple[ProblemChange, ...], stretch: Stretch, stopwatch: Stopwatch) -> bool:
    """Whether the changed problem has a layout of the circuits that exceed limits of the problem, one found clean.

    Parameters
    ----------
    problem
        The problem as it was asked.
    changes
        Changes that might make these limits wide enough.
    stretch
        The solution that exceeds limits.
    stopwatch
        Gives a share of the time left.

    Raises
    ------
    TimeUpError
        When no time is left.
    """
    try:
        changed = applied(problem, changes)
        pairs = _pairs(stretch, empty_option_list(changed))
        clock = Clock(stopwatch.share_s(TRIAL_SHARE))
        listing = partial(list_options, changed, only=pairs)
        with clock.searching():
            driver = Driver(changed, clock, listing, stretch.option_list.lazy)
            found = latest(driver.found(target=Target(ANY_LAYOUT)))
        return found is not None and finished(changed, found)[1] is not None
    except (ProblemError, InternalError):
        return False


def _pairs(stretch: Stretch, changed: OptionList) -> set[tuple[tuple[tuple[int, int], ...], int]]:
    """Members and slot of each chosen circuit, numbered as in the changed problem: loads may be alike there."""
    old = stretch.option_list
    slots = {(s.unit_group, s.site, s.copy): s.index for s in changed.slots}
    group = {load.name: own.index for own in changed.load_groups for load in own.loads}
    pairs = set()
    for members, number in pairs_of(old, stretch.solution):
        slot = old.slots[number]
        counts: Counter[int] = Counter()
        for g, count in members:
            counts[group[old.load_groups[g].sample.name]] += count
        if (slot.unit_group, slot.site, slot.copy) in slots:
            pairs.add((tuple(sorted(counts.items())), slots[slot.unit_group, slot.site, slot.copy]))
    return pairs


def possible(problem: Problem, changes: tuple[ProblemChange, ...], stopwatch: Stopwatch) -> bool:
    """Whether the changed problem has a layout, and one that the check finds clean."""
    try:
        layout = solve(applied(problem, changes), gap=ANY_LAYOUT, time_limit_s=stopwatch.share_s(TRIAL_SHARE))
    except ProblemError:
        return False
    stopwatch.undecided |= layout.status == NOTHING_FOUND
    return layout.status in (OPTIMAL, FEASIBLE)
