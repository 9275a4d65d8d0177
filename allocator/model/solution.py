"""A solution of the model: one option per circuit, and what is known of its worth."""

from __future__ import annotations

from dataclasses import dataclass, replace

from allocator.options import OptionList

OPTIMAL, FEASIBLE, INFEASIBLE, NOTHING_FOUND = "optimal", "feasible", "infeasible", "nothing-found"

EQUAL_G = 1e-6
"""Grams within which two objectives are the same figure."""


@dataclass(frozen=True, slots=True)
class Solution:
    """What is taken: (option, how often), fitted slots, feeds, (slot, class, spare outputs), direct options.

    ``objective_g``, ``bound_g`` and ``gap`` are None when unknown; ``gap`` is (objective - bound) / objective.
    """

    status: str
    options: tuple[tuple[int, int], ...] = ()
    slots: tuple[int, ...] = ()
    feeds: tuple[int, ...] = ()
    spare: tuple[tuple[int, int, int], ...] = ()
    direct: tuple[int, ...] = ()
    objective_g: float | None = None
    bound_g: float | None = None
    gap: float | None = None
    interrupted: bool = False
    nodes: int = 0
    solver: str = ""


def with_bound(solution: Solution, bound_g: float | None) -> Solution:
    """The solution with a bound from elsewhere in place of its own: optimal where they meet, else feasible."""
    if solution.objective_g is None:
        return replace(solution, status=NOTHING_FOUND, bound_g=bound_g, gap=None)
    if bound_g is None:
        return replace(solution, status=FEASIBLE, bound_g=None, gap=None)
    if solution.objective_g - bound_g <= EQUAL_G:
        return replace(solution, status=OPTIMAL, bound_g=solution.objective_g, gap=0.0)
    gap = (solution.objective_g - bound_g) / abs(solution.objective_g)
    return replace(solution, status=FEASIBLE, bound_g=bound_g, gap=gap)


def pairs_of(option_list: OptionList, solution: Solution) -> set[tuple[tuple[tuple[int, int], ...], int]]:
    """Members and slot of every circuit of a solution: what to list where these are fixed and the rest is optimised."""
    return {(option_list.options[o].candidate.members, option_list.options[o].slot) for o, _ in solution.options}


def by_the_wires_of(option_list: OptionList, other: OptionList, solution: Solution) -> OptionList:
    """An option list cut down to the options with the very wires of a solution over another list."""
    taken = (other.options[o] for o, _ in solution.options)
    wires = {(own.candidate.members, own.slot, own.outputs, own.plan.key, own.stays) for own in taken}
    return option_list.of_options(
        option
        for option in option_list.options
        if (option.candidate.members, option.slot, option.outputs, option.plan.key, option.stays) in wires
    )
