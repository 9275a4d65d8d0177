"""The best layout known so far, and the better of two."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from allocator.clock import TimeUpError
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


def latest(incumbents: Iterable[Incumbent]) -> Incumbent | None:
    """The last of a search's incumbents; where the time is up or Ctrl-C comes between two solves, the one by then.

    None where the time was up before anything was known, even a bound. Ctrl-C before that raises KeyboardInterrupt.
    """
    incumbent: Incumbent | None = None
    try:
        for found in incumbents:
            incumbent = found
    except TimeUpError:
        pass
    except KeyboardInterrupt:
        if incumbent is None:
            raise
        return replace(incumbent, solution=replace(incumbent.solution, interrupted=True))
    return incumbent
