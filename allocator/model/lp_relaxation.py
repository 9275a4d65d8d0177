"""The LP relaxation of a model, and what it rules out."""

from __future__ import annotations

import time
from math import inf
from typing import Any

from allocator.aside import run_aside
from allocator.clock import ends, heed_clock
from allocator.model.model import Model
from allocator.model.rows import Sense, Variable
from allocator.model.solver import standard_output_closed

PROBE_ITERATIONS, NO_LIMIT = 500, 2**31 - 1
"""Simplex iterations after which a probe is given up, and HiGHS's own word for no limit."""


class LpRelaxation:
    """The LP relaxation of a model, solved again and again from its last basis.

    The rows go to HiGHS as arrays: made one by one they would take longer than the solve.
    """

    def __init__(self, model: Model):
        import highspy

        self._constant_g = model.constant_g
        with standard_output_closed():
            self._highs = highspy.Highs()  # type: ignore[no-untyped-call]
            self._highs.silent()
        # as in every other solve: HiGHS refuses to run with another number than the first of the process
        self._highs.setOptionValue("threads", 1)
        self._highs.passModel(_arrays(model))
        self._statuses = highspy.HighsModelStatus

    def solve(self) -> float | None:
        """The optimum in g; None where it was not found."""
        left_s = ends() - time.monotonic()
        if left_s < inf:
            self._highs.setOptionValue("time_limit", max(0.0, left_s))
        run_aside(self._highs.run, heed_clock)
        if self._highs.getModelStatus() != self._statuses.kOptimal:
            return None
        return self._objective_g

    @property
    def reduced_g(self) -> tuple[float, ...]:
        """The reduced cost of each column at the last optimum."""
        return tuple(float(cost) for cost in self._highs.getSolution().col_dual)

    def passes(self, column: Variable, value: float, most_g: float) -> bool:
        """Whether the optimum with a column at a value exceeds so many grams; False where that takes long to find."""
        heed_clock()
        self._highs.setOptionValue("simplex_iteration_limit", PROBE_ITERATIONS)
        self._highs.setOptionValue("objective_bound", most_g - self._constant_g)
        self._highs.changeColBounds(column.index, value, value)
        self._highs.run()
        status = self._highs.getModelStatus()
        self._highs.changeColBounds(column.index, 0.0, inf if column.upper is None else column.upper)
        self._highs.setOptionValue("simplex_iteration_limit", NO_LIMIT)
        self._highs.setOptionValue("objective_bound", inf)
        if status == self._statuses.kOptimal:
            return self._objective_g > most_g
        return bool(status in (self._statuses.kInfeasible, self._statuses.kObjectiveBound))

    def without(self, column: Variable) -> None:
        """Fix a column at 0 from now on."""
        self._highs.changeColBounds(column.index, 0.0, 0.0)

    @property
    def _objective_g(self) -> float:
        return float(self._highs.getInfo().objective_function_value) + self._constant_g


def _arrays(model: Model) -> Any:
    """The LP relaxation as HiGHS takes it, row by row."""
    import highspy
    import numpy as np

    lp, cost = highspy.HighsLp(), np.zeros(len(model.columns))
    for column, grams in model.objective:
        cost[column.index] += grams
    rights = np.array([row.right for _, row in model.rows])
    at_most = np.array([row.sense is not Sense.AT_LEAST for _, row in model.rows])
    at_least = np.array([row.sense is not Sense.AT_MOST for _, row in model.rows])
    lp.num_col_, lp.num_row_ = len(model.columns), len(model.rows)
    lp.col_cost_, lp.col_lower_ = cost, np.zeros(len(model.columns))
    lp.col_upper_ = np.array([inf if column.upper is None else column.upper for column in model.columns])
    lp.row_lower_, lp.row_upper_ = np.where(at_least, rights, -inf), np.where(at_most, rights, inf)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.cumsum([0, *(len(row.terms) for _, row in model.rows)])
    lp.a_matrix_.index_ = np.array([column.index for _, row in model.rows for column, _ in row.terms])
    lp.a_matrix_.value_ = np.array([value for _, row in model.rows for _, value in row.terms])
    return lp
