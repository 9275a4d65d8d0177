"""Probing: what the linear relaxation says about every solution that is worth having."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor, inf
from threading import Event
from typing import Any

from allocator.aside import run_aside
from allocator.choosing.model import Model
from allocator.choosing.rows import Variable, at_most
from allocator.choosing.solver import formulated, highs_that
from allocator.clock import heed_clock

SLACK = 1e-4
"""How far a bound of the linear relaxation may miss a whole number, or a cutoff in grams, and still be taken for it."""

Sums = Mapping[int, Sequence[tuple[Variable, float]]]
"""Sums by number, as terms of (column with an upper bound, coefficient above 0)."""


@dataclass(frozen=True, slots=True)
class Probed:
    """What holds in every solution that weighs no more than a cutoff.

    ``bound_g`` is a bound on all solutions (None: unknown), ``useless`` holds the columns that are 0 in all within the
    cutoff, ``ranges`` the least and the greatest whole value of each sum.
    """

    bound_g: float | None
    useless: frozenset[int]
    ranges: Mapping[int, tuple[int, int]]


def probe(model: Model, cutoff_g: float, sums: Sums | None = None) -> Probed | None:
    """What every solution within a cutoff in grams must keep to; None: no solution weighs so little.

    One solve of the linear relaxation, and two more for each sum, each from where the last one ended. Columns whose
    reduced cost lifts the bound over the cutoff are useless, if they have to be whole: of others a part may do. A solve
    that does not end well says nothing.

    Raises
    ------
    TimeUpError
        When the time is up before all is known.
    """
    light = []
    if cutoff_g < inf:
        light = [("light", at_most("light", list(model.objective), cutoff_g - model.constant_g))]
    problem = formulated(replace(model.in_parts(), rows=(*model.rows, *light)))
    if problem is None:
        return None
    whole = frozenset(column.index for column in model.columns if column.integer)
    answers: list[Probed | None] = []

    def asked(highs: Any) -> None:
        stop = _stopping(highs)

        def answer() -> None:
            answers.append(_answer(highs, model.constant_g, cutoff_g, sums or {}, whole))

        try:
            run_aside(answer, heed_clock)
        finally:
            stop.set()

    problem.solve(highs_that(asked)(msg=False, threads=1, random_seed=0, presolve="off", solver="simplex"))
    return answers[0]


def _stopping(highs: Any) -> Event:
    """Once it is set HiGHS stops, also where it has been left behind."""
    import highspy

    stop = Event()

    def called(_kind: Any, _message: str, _out: Any, data_in: Any, _user: Any) -> None:
        data_in.user_interrupt = stop.is_set()

    highs.setCallback(called, None)
    highs.startCallback(highspy.cb.HighsCallbackType.kCallbackSimplexInterrupt)
    return stop


def _answer(highs: Any, constant_g: float, cutoff_g: float, sums: Sums, whole: frozenset[int]) -> Probed | None:
    import highspy

    highs.run()
    status = highs.getModelStatus()
    if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible):
        return None
    bound_g, useless = None, frozenset[int]()
    if status == highspy.HighsModelStatus.kOptimal:
        bound_g = highs.getInfo().objective_function_value + constant_g
        left_g = cutoff_g - bound_g + SLACK
        costs_g = enumerate(highs.getSolution().col_dual)
        useless = frozenset(n for n, cost_g in costs_g if cost_g > left_g and n in whole)
        for number in useless if sums else ():
            highs.changeColBounds(number, 0.0, 0.0)
    return Probed(bound_g, useless, {number: _range(highs, terms) for number, terms in sums.items()})


def _range(highs: Any, terms: Sequence[tuple[Variable, float]]) -> tuple[int, int]:
    import highspy
    import numpy as np

    columns = highs.getNumCol()
    costs, sum_of_all = np.zeros(columns), 0.0
    for variable, coefficient in terms:
        assert variable.upper is not None
        costs[variable.index] += coefficient
        sum_of_all += coefficient * variable.upper
    most = floor(sum_of_all + SLACK)
    ends = []
    for sign in (1.0, -1.0):
        highs.changeColsCost(columns, np.arange(columns, dtype=np.int32), sign * costs)
        highs.run()
        done = highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
        ends.append(sign * highs.getInfo().objective_function_value if done else None)
    low, high = ends
    return (0 if low is None else max(0, ceil(low - SLACK)), most if high is None else min(most, floor(high + SLACK)))
