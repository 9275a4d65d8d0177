"""Drawn problems, and what they were before their owner changed them."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from allocator.problem import Problem, ProblemError


def before(problem: Problem, seed: int) -> Problem | None:
    """The problem before two changes out of a few; None where that would be no problem."""
    rng = Random(f"before {seed}")
    loads = list(problem.loads)
    changes = rng.sample(("added", "grown", "moved", "removed", "none"), 2)
    if "added" in changes and len(loads) > 2:
        loads.pop(rng.randrange(len(loads)))
    if "grown" in changes:
        n = rng.randrange(len(loads))
        loads[n] = replace(loads[n], current_a=round(0.55 * loads[n].current_a, 3))
    if "moved" in changes:
        n = rng.randrange(len(loads))
        loads[n] = replace(loads[n], place=rng.choice(problem.places).name)
    if "removed" in changes:
        loads.append(replace(rng.choice(loads), name="gone", item="gone item", unit=None, output=None))
    names = {load.name for load in loads} | {load.item for load in loads}
    runs = tuple(run for run in problem.runs if run.load in names)
    try:
        return replace(problem, loads=tuple(loads), functions=(), runs=runs)
    except ProblemError:
        return None
