"""Faults that no allocation of outputs could mend: returns are fixed by the problem, so is what their studs carry."""

from __future__ import annotations

from allocator.problem import CHASSIS, SOURCE, Load, Problem
from allocator.routing import Network, RouteError


def return_stud(problem: Problem, network: Network, load: Load) -> str | None:
    """The place whose ground stud carries the load's return; None where no stud does."""
    if load.bridge or load.return_to == SOURCE:
        return None
    if load.return_to == CHASSIS:
        try:
            return network.stud_of(load.place)
        except RouteError:  # every way to one is closed, so the load has no option at all
            return None
    return load.return_to if problem.place[load.return_to].stud_a is not None else None


def stud_faults(problem: Problem, network: Network) -> tuple[str, ...]:
    """Sentences on overloaded studs, and on functions that one stud could take away."""
    at_stud: dict[str, list[Load]] = {}
    for load in problem.loads:
        stud = return_stud(problem, network, load)
        if stud is not None:
            at_stud.setdefault(stud, []).append(load)
    return (*_overloaded(problem, at_stud), *_single_stud(problem, at_stud))


def _overloaded(problem: Problem, at_stud: dict[str, list[Load]]) -> list[str]:
    faults = []
    for stud, loads in sorted(at_stud.items()):
        limit = problem.place[stud].stud_a
        for number, condition in enumerate(problem.conditions):
            current = sum(load.current_a * load.heating(number) for load in loads)
            if limit is not None and current > limit * (1.0 + 1e-9):
                faults.append(
                    f"ground stud at '{stud}' would carry {current:.1f} A in condition '{condition}', "
                    f"{current - limit:.1f} A over its {limit:g} A: give a larger stud, "
                    "another stud nearer to some loads, or another return"
                )
    return faults


def _single_stud(problem: Problem, at_stud: dict[str, list[Load]]) -> list[str]:
    faults = []
    for function in problem.functions:
        if "stud" not in function.against:
            continue
        members = [load for load in problem.loads if load.name in function.loads or load.item in function.loads]
        for stud, loads in sorted(at_stud.items()):
            left = len(members) - sum(1 for load in members if load in loads)
            if left < function.survive:
                faults.append(
                    f"function '{function.name}' must keep {function.survive} of {len(members)} loads, and the ground "
                    f"stud at '{stud}' leaves {left}: give one of them another return"
                )
    return faults
