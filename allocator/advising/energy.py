"""Amperes that each source gives per condition, against what charges it; hours on the battery alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from allocator.layout import Layout
from allocator.problem import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """One source in one condition. ``supply_a`` None: the problem does not say what charges."""

    source: str
    condition: str
    draw_a: float
    supply_a: float | None
    capacity_ah: float | None

    @property
    def surplus_a(self) -> float | None:
        """Amperes left to charge with; negative when the battery gives."""
        return None if self.supply_a is None else self.supply_a - self.draw_a

    @property
    def hours_alone(self) -> float | None:
        """Hours from full to empty with nothing charging; None without a capacity or without a draw."""
        if self.capacity_ah is None or self.draw_a <= 0.0:
            return None
        return self.capacity_ah / self.draw_a


def balances(problem: Problem, layout: Layout) -> tuple[Balance, ...]:
    """Balance of every source in every condition.

    A load counts with its stated current x level x duty: a mean over time, for energy only. (A dimmed load at
    level *d* takes the share *d* of the charge, though it heats its wire like sqrt(*d*).)

    Returns
    -------
    tuple of Balance
        Sources in the order of the problem, conditions in theirs; every source is there, idle ones too.
    """
    fed = list(_fed(problem, layout))
    found = []
    for source in problem.sources:
        supply = dict(source.supply_a)
        for index, condition in enumerate(problem.conditions):
            loads = [problem.load[name] for name, by in fed if by == source.name]
            found.append(
                Balance(
                    source=source.name,
                    condition=condition,
                    draw_a=sum(load.current_a * load.levels[index] * load.duty for load in loads),
                    supply_a=supply.get(condition, 0.0) if supply else None,
                    capacity_ah=source.capacity_ah,
                )
            )
    return tuple(found)


def _fed(problem: Problem, layout: Layout) -> Iterator[tuple[str, str]]:
    """(load, source) of everything that the layout feeds."""
    for circuit in layout.circuits:
        for load in circuit.loads:
            yield load, problem.unit[circuit.unit].source
    for direct in layout.direct:
        yield direct.load, direct.source or problem.sources[0].name
