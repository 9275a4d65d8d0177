"""Faults that no allocation of outputs could mend: the problem fixes the returns, and so what studs carry."""

from __future__ import annotations

from allocator.options.faults import Evident, Fault
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


def stud_faults(problem: Problem, network: Network) -> tuple[Fault, ...]:
    """Overloaded studs, and functions that one stud could take away."""
    at_stud: dict[str, list[Load]] = {}
    for load in problem.loads:
        stud = return_stud(problem, network, load)
        if stud is not None:
            at_stud.setdefault(stud, []).append(load)
    return (*_overloaded(problem, at_stud), *_single_stud(problem, at_stud))


def _overloaded(problem: Problem, at_stud: dict[str, list[Load]]) -> list[Fault]:
    faults = []
    for stud, loads in sorted(at_stud.items()):
        limit = problem.place[stud].stud_a
        for number, condition in enumerate(problem.conditions):
            current = sum(load.current_a * load.heating(number) for load in loads)
            if limit is not None and current > limit * (1.0 + 1e-9):
                faults.append(Fault(Evident.STUD, (stud, current, condition, current - limit, limit)))
    return faults


def _single_stud(problem: Problem, at_stud: dict[str, list[Load]]) -> list[Fault]:
    faults = []
    for function in problem.functions:
        if "stud" not in function.against:
            continue
        members = [load for load in problem.loads if load.name in function.loads or load.item in function.loads]
        for stud, loads in sorted(at_stud.items()):
            left = len(members) - sum(1 for load in members if load in loads)
            if left < function.survive:
                named = (function.name, function.survive, len(members), stud, left)
                faults.append(Fault(Evident.STUD_OF_FUNCTION, named))
    return faults
