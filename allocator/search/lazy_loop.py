"""Lazy constraints: solve, add the rows that are broken, solve again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from allocator.model import Solution, with_bound
from allocator.model.separation import separate
from allocator.options import LazyRows, OptionList

T = TypeVar("T")


def optimise_lazily(
    listed: Callable[[LazyRows], T],
    optimised: Callable[[T], Solution],
    option_list_of: Callable[[T], OptionList],
    lazy: LazyRows,
) -> tuple[T, Solution, LazyRows]:
    """Optimise, and add the rows that are broken, until none is; each solution on the way is a bound.

    ``listed`` is what may be taken with some lazy rows. A solution that was interrupted is left
    out where it breaks a rule on bundles: its bound stands.
    """
    while True:
        own = listed(lazy)
        solution = optimised(own)
        more = separate(option_list_of(own), solution)
        if not more:
            return own, solution, lazy
        if solution.interrupted:
            return own, with_bound(replace(solution, objective_g=None), solution.bound_g), lazy
        lazy |= more
