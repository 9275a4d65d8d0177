"""From an option list to a solution: the model is built and solved."""

from __future__ import annotations

from collections.abc import Callable
from math import inf

from allocator.model.model import Model, build
from allocator.model.solution import FEASIBLE, INFEASIBLE, NOTHING_FOUND, Solution, with_bound
from allocator.model.solver import Outcome, Progress, run
from allocator.options import OptionList


def optimise(
    option_list: OptionList,
    *,
    time_limit_s: float | None = None,
    gap: float = 0.0,
    start: Solution | None = None,
    progress: Callable[[Progress], None] | None = None,
    change: Callable[[Model], Model] | None = None,
    cutoff_g: float = inf,
    target_g: float = -inf,
    kept_back_s: float = 0.0,
) -> Solution:
    """The best solution that can be found and how far it is proven.

    Its status is optimal only where the bound meets the objective.

    Parameters
    ----------
    option_list
        What may be chosen.
    time_limit_s
        Seconds for the solve; None for no limit.
    gap
        Relative gap at which to stop; 0 for a full proof.
    start
        A solution as warm start.
    progress
        Called about twice a second while solving.
    change
        May add rows to the model, and put another objective in place of its own.
    cutoff_g
        A bound of so many grams ends the search: nothing better is asked for.
    target_g
        A solution of so many grams ends the search.
    kept_back_s
        Seconds of the limit that are left unused where nothing has been found by then.

    Raises
    ------
    TimeUpError
        When the time of `clock` is up while the model is built.
    """
    if option_list.faults:
        return Solution(status=INFEASIBLE)
    model = build(option_list) if change is None else change(build(option_list))
    values = None if start is None else values_of(model, start)
    outcome = run(
        model,
        time_limit_s=time_limit_s,
        gap=gap,
        start=values,
        progress=progress,
        cutoff_g=cutoff_g,
        target_g=target_g,
        kept_back_s=kept_back_s,
    )
    return solution_of(model, outcome)


def values_of(model: Model, solution: Solution) -> dict[int, float]:
    """Values of the columns that a solution decides: circuits, slots, spares. The solver completes the rest."""
    v = model.variables
    taken, spare = dict(solution.options), {(s, q): n for s, q, n in solution.spare}
    values = {x.index: float(taken.get(o, 0)) for o, x in enumerate(v.take)}
    values |= {x.index: float(s in solution.slots) for s, x in enumerate(v.fit)}
    values |= {x.index: float(spare.get(place, 0)) for place, x in v.spare.items()}
    return values


def solution_of(model: Model, outcome: Outcome) -> Solution:
    """What an outcome of the solver means, and how far it is proven."""
    common = {"interrupted": outcome.interrupted, "nodes": outcome.nodes, "solver": outcome.version}
    if outcome.infeasible:
        return Solution(status=INFEASIBLE, **common)  # type: ignore[arg-type]
    bound = None if outcome.bound_g is None else round(outcome.bound_g + model.constant_g, 6)
    if outcome.values is None:
        return Solution(status=NOTHING_FOUND, bound_g=bound, **common)  # type: ignore[arg-type]
    v, whole = model.variables, [round(x) for x in outcome.values]
    chosen = sum(c * (whole[x.index] if x.integer else outcome.values[x.index]) for x, c in model.objective)
    objective = round(chosen + model.constant_g, 6)
    solution = Solution(
        status=FEASIBLE,
        options=tuple((o, whole[c.index]) for o, c in enumerate(v.take) if whole[c.index]),
        slots=tuple(s for s, c in enumerate(v.fit) if whole[c.index]),
        feeds=tuple(f for f, c in enumerate(v.feed) if whole[c.index]),
        spare=_spares(model, whole),
        direct=tuple(d for d, c in enumerate(v.direct) if whole[c.index]),
        objective_g=objective,
        **common,  # type: ignore[arg-type]
    )
    return with_bound(solution, objective if outcome.proven else bound)


def _spares(model: Model, whole: list[int]) -> tuple[tuple[int, int, int], ...]:
    found = []
    for slot in model.option_list.slots:
        if not whole[model.variables.fit[slot.index].index]:
            continue
        for number in range(len(slot.classes)):
            count = sum(round(c) * whole[x.index] for x, c in model.variables.spare_terms(slot, number))
            if count:
                found.append((slot.index, number, count))
    return tuple(found)
