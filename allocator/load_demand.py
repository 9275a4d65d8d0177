"""What a schedule calls for before any unit is chosen: outputs by size, amperes by condition, what is paralleled."""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import astuple, dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from allocator.importing.amperes import count, current_a
from allocator.importing.schedule import ASSUMED, LOOK, OPEN, Schedule
from allocator.importing.understanding import read_schedule
from allocator.output_count import RESERVE, OutputSteps, with_reserve
from allocator.problem import Load, Problem, Supply
from allocator.reading import is_problem, read_loads_alone
from allocator.reading.settings import ALL_ON
from allocator.table import Table, columns_of, figure, table_of

if TYPE_CHECKING:
    from pandas import DataFrame


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadDemand:
    """One row: so many loads alike.

    ``current_a`` is what one of them draws at most, ``rating_a`` and ``outputs`` what one needs, ``heating_a`` holds
    the current of one of them in each condition. No output (0) where it is fed from the source.
    """

    load: str
    place: str
    number: int
    current_a: float
    rating_a: float
    outputs: int
    parallel: bool
    heating_a: tuple[float, ...]

    @property
    def all_outputs(self) -> int:
        """Outputs of all of them."""
        return self.number * self.outputs


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeDemand:
    """Outputs of one rating: how many are needed, and how many with the reserve."""

    rating_a: float
    loads: int
    outputs: int
    with_reserve: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionDemand:
    """Amperes of all loads in one condition, and with the reserve."""

    condition: str
    current_a: float
    with_reserve_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceDemand:
    """Outputs and amperes, all loads on, at one place."""

    place: str
    outputs: int
    current_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """What is called for.

    ``not_counted`` names rows whose current, or number, nobody knows: sums are without them. ``said`` tells what was
    assumed in reading a schedule, and what to look at.
    """

    name: str
    sizing: OutputSteps
    reserve: float
    conditions: tuple[ConditionDemand, ...]
    loads: tuple[LoadDemand, ...]
    not_counted: tuple[str, ...] = ()
    said: tuple[str, ...] = ()

    @property
    def sizes(self) -> tuple[SizeDemand, ...]:
        """Outputs by rating, the largest first."""
        return tuple(
            SizeDemand(
                rating_a=step,
                loads=sum(one.number for one in self._of(step)),
                outputs=(outputs := sum(one.all_outputs for one in self._of(step))),
                with_reserve=with_reserve(outputs, self.reserve),
            )
            for step in sorted(self.sizing.steps_a, reverse=True)
        )

    @property
    def places(self) -> tuple[PlaceDemand, ...]:
        """Outputs and amperes by place, in the order of the rows."""
        names = dict.fromkeys(one.place for one in self.loads)
        return tuple(
            PlaceDemand(
                place=name,
                outputs=sum(one.all_outputs for one in self.loads if one.place == name),
                current_a=sum(one.number * one.current_a for one in self.loads if one.place == name),
            )
            for name in names
        )

    def _of(self, step: float) -> list[LoadDemand]:
        return [one for one in self.loads if one.outputs and one.rating_a == step]

    def frame(self) -> DataFrame:
        """One row per row of loads; currents of one of them in A, ``heating_a`` a column per condition."""
        # the last field is spread out
        columns = (*columns_of(LoadDemand)[:-1], *(figure(one.condition, "A") for one in self.conditions))
        rows = tuple((*astuple(one)[:-1], *one.heating_a) for one in self.loads)
        return Table(columns=columns, rows=rows).frame()

    def sizes_frame(self) -> DataFrame:
        """One row per rating."""
        return table_of(columns_of(SizeDemand), self.sizes).frame()

    def conditions_frame(self) -> DataFrame:
        """One row per condition."""
        return table_of(columns_of(ConditionDemand), self.conditions).frame()

    def places_frame(self) -> DataFrame:
        """One row per place."""
        return table_of(columns_of(PlaceDemand), self.places).frame()


def demand(
    of: str | os.PathLike[str] | Problem | Schedule, sizing: OutputSteps | None = None, reserve: float = RESERVE
) -> Demand:
    """What loads call for, whatever they will be fed from.

    Parameters
    ----------
    of
        A schedule file, a problem folder or workbook (which may lack all but its loads), or either as it was read.
    sizing
        Steps of output ratings, and how much of them is used.
    reserve
        Share of outputs and amperes to keep free.

    Raises
    ------
    ProblemError
        Where the file cannot be read, or says of no load what it draws.
    """
    sizing = sizing or OutputSteps()
    if isinstance(of, Problem):
        return _of_loads(of.name, of.conditions, of.loads, (), sizing, reserve)
    if not isinstance(of, Schedule):
        if is_problem(Path(of)):
            alone = read_loads_alone(of)
            told = tuple(map(str, alone.mistakes))
            return _of_loads(alone.name, alone.conditions, alone.loads, told, sizing, reserve)
        of = read_schedule(of)
    return _of_schedule(of, sizing, reserve)


def _of_loads(
    name: str,
    conditions: tuple[str, ...],
    loads: Iterable[Load],
    told: tuple[str, ...],
    sizing: OutputSteps,
    reserve: float,
) -> Demand:
    """Loads of one item are one row; of a bridge each of the two outputs carries all of the current."""
    items: dict[tuple[str, float], list[Load]] = {}
    for load in loads:
        items.setdefault((load.item, load.full_current_a), []).append(load)
    rows = []
    for (item, amperes), alike in items.items():
        load = alike[0]
        rating_a, outputs = sizing.outputs(amperes)
        direct = load.supply is Supply.DIRECT
        rows.append(
            LoadDemand(
                load=item,
                place=load.place,
                number=len(alike),
                current_a=amperes,
                rating_a=rating_a,
                outputs=0 if direct else outputs * (2 if load.bridge else 1),
                parallel=outputs > 1 and not direct,
                heating_a=tuple(load.current_a * load.heating(place) for place in range(len(conditions))),
            )
        )
    return _summed(name, conditions, tuple(rows), told, sizing, reserve)


def _of_schedule(schedule: Schedule, sizing: OutputSteps, reserve: float) -> Demand:
    conditions = schedule.conditions or ALL_ON
    rows, told = [], []
    for item in schedule.items:
        amperes, number = current_a(schedule, item), count(item)
        if amperes is None or number is None:
            why = next((str(one) for one in schedule.of_kind(OPEN) if one.row == item.row), f"row {item.row}")
            told.append(f"{item.name or 'no name'}: {why}")
            continue
        rating_a, outputs = sizing.outputs(amperes)
        levels = [float(level) if level else 1.0 for level in item.levels] or [1.0]
        rows.append(
            LoadDemand(
                load=item.name or f"row {item.row}",
                place=item.place,
                number=number,
                current_a=amperes,
                rating_a=rating_a,
                outputs=outputs,
                parallel=outputs > 1,
                heating_a=tuple(amperes * level for level in levels),
            )
        )
    summed = _summed(schedule.name, conditions, tuple(rows), tuple(told), sizing, reserve)
    return replace(summed, said=tuple(map(str, (*schedule.of_kind(LOOK), *schedule.of_kind(ASSUMED)))))


def _summed(
    name: str,
    conditions: tuple[str, ...],
    rows: tuple[LoadDemand, ...],
    told: tuple[str, ...],
    sizing: OutputSteps,
    reserve: float,
) -> Demand:
    sums = [sum(row.number * row.heating_a[place] for row in rows) for place in range(len(conditions))]
    return Demand(
        name=name,
        sizing=sizing,
        reserve=reserve,
        conditions=tuple(
            ConditionDemand(condition=condition, current_a=amperes, with_reserve_a=amperes * (1.0 + reserve))
            for condition, amperes in zip(conditions, sums, strict=True)
        ),
        loads=rows,
        not_counted=told,
    )
