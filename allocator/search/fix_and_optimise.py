"""Fix and optimise: circuits of a solution at hand are fixed, and all else is solved again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import count
from math import inf

from allocator.model import Model, Solution, optimise, pairs_of, with_bound
from allocator.model.separation import separate
from allocator.model.solution import EQUAL_G, INFEASIBLE, by_the_wires_of
from allocator.options import LazyRows, OptionList, PruningBound
from allocator.search.incumbent import Incumbent
from allocator.search.listing import Listing
from allocator.search.time_limit import completing

EXACT_ROUNDS, KEPT_BACK = 2, 0.01
"""Rounds of fix and optimise by the rows as they are; the share of heat kept back in each further one."""

MUCH = (0.003, 0.02, inf)
"""Share of a whole layout by which a circuit may exceed its lightest wires: the next one where that gives no layout."""

NEARLY = 0.01
"""The gap at which a solve stops that cannot reach the bound anyway."""


def fix_and_optimise(
    listing: Listing,
    loose: OptionList,
    first: Solution,
    time_limit_s: float | None,
    change: Callable[[Model], Model] | None = None,
    lazy: LazyRows | None = None,
) -> tuple[Incumbent, LazyRows]:
    """Fix the circuits of a solution, each at its slot, and optimise the rest: other wires where bundles ask for them.

    Parameters
    ----------
    listing
        Lists the options of the problem.
    loose
        The option list of the solution.
    first
        The solution, whose bound the result keeps.
    time_limit_s
        Seconds for each solve; None for no limit.
    change
        The search's change of the model, as of `optimise`.
    lazy
        Lazy rows to begin with; None: those of the option list.

    Returns
    -------
    tuple
        What was found, and the lazy rows it took.

    Raises
    ------
    TimeUpError
        When the time is up while options are listed.
    """
    pairs, lazy = pairs_of(loose, first), lazy or loose.lazy
    # what weighs much more than the lightest is seldom of use here, and listing it takes long
    target_g = -inf if first.bound_g is None else first.bound_g + EQUAL_G
    widths = iter(MUCH)
    prunings = _within(first, next(widths))
    with completing(first.interrupted):
        for round_number in count():
            # solutions that slip past the rows by a hair would take many rounds: then a little is kept back
            spared = min(KEPT_BACK * max(0, round_number - EXACT_ROUNDS), 1.0)
            tight = listing(only=pairs, lazy=replace(lazy, kept_back=spared), prunings=prunings)
            if round_number == 0 and not separate(loose, first):
                # often only the banks are left to assign
                very = by_the_wires_of(tight, loose, first)
                solution = optimise(very, time_limit_s=time_limit_s, change=change, target_g=target_g)
                if (
                    solution.objective_g is not None
                    and solution.objective_g <= target_g
                    and not separate(very, solution)
                ):
                    tight = very
                    break
            solution = optimise(tight, time_limit_s=time_limit_s, gap=NEARLY, change=change, target_g=target_g)
            if solution.bound_g is not None and solution.bound_g <= target_g < (solution.objective_g or -inf):
                solution = optimise(tight, time_limit_s=time_limit_s, change=change, target_g=target_g)
            if solution.status == INFEASIBLE and prunings:
                prunings = _within(first, next(widths))
                continue
            more = separate(tight, solution)
            if not more:
                break
            lazy |= more
    solution = with_bound(solution, first.bound_g)
    return Incumbent(tight, replace(solution, interrupted=first.interrupted), loose), lazy


def _within(first: Solution, share: float) -> tuple[PruningBound, ...]:
    """Bars options heavier than the lightest by more than this share of the whole; none where it is infinite."""
    return (PruningBound(LazyRows(), share * (first.objective_g or inf)),) if share < inf else ()
