"""Loads that the model cannot tell apart, grouped: counted, never named."""

from __future__ import annotations

from dataclasses import dataclass, replace

from allocator.options.already_built import AlreadyBuilt
from allocator.problem import Load, Problem, Supply


@dataclass(frozen=True, slots=True)
class LoadGroup:
    """Loads that are interchangeable in the model (symmetry): counted and not named."""

    index: int
    loads: tuple[Load, ...]

    @property
    def sample(self) -> Load:
        """Any one of them."""
        return self.loads[0]


def load_groups_of(problem: Problem, finished: AlreadyBuilt | None = None) -> tuple[LoadGroup, ...]:
    """Unit-fed loads grouped by everything the answer depends on, what is ``finished`` of them too.

    Apart stay loads with a pin, and, where ``robust`` counts single loads, loads with a spread.
    """
    runs: dict[str, list[tuple[str, float]]] = {}
    for run in problem.runs:
        runs.setdefault(run.load, []).append((run.site, run.length_m))
    groups: dict[object, list[Load]] = {}
    for load in problem.loads:
        if load.supply is not Supply.UNIT:
            continue
        functions = tuple(f.name for f in problem.functions if load.name in f.loads or load.item in f.loads)
        own_runs = tuple(sorted({*runs.get(load.name, ()), *runs.get(load.item, ())}))
        alone = load.unit is not None or (problem.margins.robust > 0 and load.spread > 0.0)
        key = replace(load, name=load.name if alone else "alike", item="alike", type="", extra=(), duty=1.0)
        history = None if finished is None else finished.history(load.name)
        groups.setdefault((key, functions, own_runs, history), []).append(load)
    return tuple(LoadGroup(n, tuple(loads)) for n, loads in enumerate(groups.values()))
