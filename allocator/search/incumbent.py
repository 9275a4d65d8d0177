"""The best layout known so far, and the better of two."""

from __future__ import annotations

from dataclasses import dataclass, replace

from allocator.model import OPTIMAL, Solution, with_bound
from allocator.options import OptionList


@dataclass(frozen=True)
class Incumbent:
    """A solution, the option list it is made of, and the option list that its proof covers."""

    option_list: OptionList
    solution: Solution
    covered: OptionList


def better(found: Incumbent, incumbent: Incumbent | None) -> Incumbent:
    """The latest answer, or the incumbent where it is nothing better; with the better bound."""
    if incumbent is None or incumbent.solution.objective_g is None or found.solution.status == OPTIMAL:
        return found
    bounds = [bound for bound in (found.solution.bound_g, incumbent.solution.bound_g) if bound is not None]
    bound = max(bounds, default=None)
    if found.solution.objective_g is not None and found.solution.objective_g <= incumbent.solution.objective_g:
        return replace(found, solution=with_bound(found.solution, bound))
    interrupted = found.solution.interrupted or incumbent.solution.interrupted
    solution = replace(with_bound(incumbent.solution, bound), interrupted=interrupted)
    return replace(incumbent, solution=solution, covered=found.covered)
