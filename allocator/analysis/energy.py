"""Amperes that each source gives per condition, against what charges it; hours on the battery alone; what uses most."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from allocator.layout import Layout
from allocator.notebook import shown
from allocator.problem import Problem
from allocator.table import Table, columns_of, figure, table_of, text

if TYPE_CHECKING:
    from pandas import DataFrame

USERS_SHOWN = 3
_BALANCES = (
    text("source"), text("condition"), figure("draw", "A", 1, key="draw_a"), figure("charge", "A", 1, key="supply_a"),
    figure("surplus", "A", 1, key="surplus_a"), figure("capacity", "Ah", key="capacity_ah"),
    figure("hours alone", digits=1, key="hours_alone"),
)  # fmt: skip


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """Mean current of one load in one condition; ``share`` is that of all its source gives then."""

    load: str
    source: str
    condition: str
    mean_a: float
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Energy:
    """Every source in every condition, and every load that draws there, in the order of the problem.

    ``unfed`` are loads that no source of the problem feeds in this layout: they are in no sum.
    """

    balances: tuple[Balance, ...]
    uses: tuple[Use, ...]
    unfed: tuple[str, ...]

    def most(self, source: str, condition: str, count: int = USERS_SHOWN) -> tuple[Use, ...]:
        """The loads that use most of a source in a condition, the largest first, alike ones in their order."""
        own = [use for use in self.uses if (use.source, use.condition) == (source, condition)]
        return tuple(sorted(own, key=lambda use: -use.mean_a)[:count])

    def _repr_html_(self) -> str:
        return shown("Energy", [("fed by nothing", self.unfed)] if self.unfed else [], self.table())

    def table(self) -> Table:
        """One row per source and condition; currents in A, capacity in Ah. What is not known is empty."""
        return table_of(_BALANCES, self.balances)

    def frame(self) -> DataFrame:
        """The same for pandas."""
        return self.table().frame()

    def use_frame(self) -> DataFrame:
        """One row per load and condition in which it draws; columns as in `Use`."""
        return table_of(columns_of(Use), self.uses).frame()


def energy(problem: Problem, layout: Layout) -> Energy:
    """Balance of every source in every condition, and what each load has of it.

    A load counts with its stated current x level x duty: a mean over time, for energy only. (A dimmed load at
    level *d* takes the share *d* of the charge, though it heats its wire like sqrt(*d*).) Sources stand in the
    order of the problem, conditions in theirs; idle sources too. Loads and units that the problem does not have,
    as a hand may name them, are passed over; a load fed twice from one source counts once there.
    """
    fed = list(dict.fromkeys(_fed(problem, layout)))
    balances, uses = [], []
    for source in problem.sources:
        supply = dict(source.supply_a)
        loads = [problem.load[name] for name, by in fed if by == source.name]
        for m, condition in enumerate(problem.conditions):
            means = {load.name: load.current_a * load.levels[m] * load.duty for load in loads}
            draw = sum(means.values())
            balances.append(
                Balance(
                    source=source.name,
                    condition=condition,
                    draw_a=draw,
                    supply_a=supply.get(condition, 0.0) if supply else None,
                    capacity_ah=source.capacity_ah,
                )
            )
            uses += [
                Use(load=name, source=source.name, condition=condition, mean_a=mean, share=mean / draw)
                for name, mean in means.items()
                if mean > 0.0
            ]
    reached = {name for name, by in fed if by in problem.source}
    unfed = tuple(load.name for load in problem.loads if load.name not in reached)
    return Energy(balances=tuple(balances), uses=tuple(uses), unfed=unfed)


def _fed(problem: Problem, layout: Layout) -> Iterator[tuple[str, str]]:
    """(load, source) of everything of the problem that the layout feeds."""
    for circuit in layout.circuits:
        for load in circuit.loads:
            if load in problem.load and circuit.unit in problem.unit:
                yield load, problem.unit[circuit.unit].source
    for direct in layout.direct:
        if direct.load in problem.load:
            yield direct.load, direct.source or problem.sources[0].name
