"""Copper against outputs used, or against units fitted: every point that no other beats."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from math import ceil
from typing import TYPE_CHECKING

from allocator.assembly import assemble
from allocator.checking.checker import check
from allocator.clock import TimeUpError
from allocator.evaluation.complete import complete
from allocator.evaluation.tolerance import CLOSE_G
from allocator.layout import FEASIBLE, INFEASIBLE, NOTHING_FOUND, OPTIMAL, Layout
from allocator.model import Model, Solution, optimise
from allocator.model.rows import at_most
from allocator.model.variables import Term
from allocator.notebook import shown
from allocator.options import CutShort
from allocator.problem import Problem
from allocator.search.driver import Driver
from allocator.search.incumbent import Incumbent
from allocator.search.solve import InternalError
from allocator.search.time_limit import Clock
from allocator.table import Table, count, keyed, table_of

if TYPE_CHECKING:
    from pandas import DataFrame

OUTPUTS, UNITS = "outputs", "units"


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One layout of least copper for so many outputs used (or units fitted).

    ``proven``: no layout with as many or fewer has less copper, and none with as little copper has fewer. Where a
    limit stopped the search, ``bound_g`` is what is known: none with as many or fewer has less copper than that.
    """

    copper_g: float
    outputs_used: int
    units_fitted: int
    proven: bool
    bound_g: float | None
    layout: Layout


@dataclass(frozen=True, kw_only=True)
class Tradeoff:
    """The points in order of rising count; ``against`` is outputs or units.

    ``status`` is optimal where every point is proven and none is missing; feasible where a limit stopped the search
    (``stopped`` says where); infeasible; nothing-found.
    """

    problem: str
    against: str
    status: str
    points: tuple[Point, ...] = ()
    stopped: str = ""
    seconds: float = 0.0
    cut_short: tuple[CutShort, ...] = field(default=())

    def _repr_html_(self) -> str:
        facts = [("status", self.status), ("stopped", self.stopped)]
        return shown(f"{self.problem}: copper against {self.against}", facts, self.table())

    def table(self) -> Table:
        """One row a point."""
        columns = (count("outputs_used"), count("units_fitted"), *keyed("copper_g", "bound_g", "proven"))
        return table_of(columns, self.points)

    def frame(self) -> DataFrame:
        """The same for pandas."""
        return self.table().frame()


@dataclass(frozen=True, slots=True)
class Step:
    """Where the search stands: points found, and the range of counts that is still open (None: not known yet)."""

    found: int
    at_most: int | None
    least: int | None
    first: int | None


def tradeoff(
    problem: Problem,
    *,
    against: str = OUTPUTS,
    time_limit_s: float | None = None,
    progress: Callable[[Step], None] | None = None,
) -> Tradeoff:
    """Every layout that no other beats in copper and in outputs used (or units fitted), each proven.

    By epsilon-constraint: least copper, then least copper with at least one output less, until there is no layout
    left. A layout whose copper the next one has too is beaten by it, and left out. Splices, idle outputs and unit mass
    have no price here.

    Parameters
    ----------
    against
        ``outputs`` or ``units``.
    time_limit_s
        Seconds for all of it; what is found by then is kept, and says what is proven.
    progress
        Called as each point is found.

    Raises
    ------
    ValueError
        When ``against`` is neither.
    InternalError
        When the independent check finds a violation in the layout of a point.
    """
    if against not in (OUTPUTS, UNITS):
        raise ValueError(f"'{against}' is neither '{OUTPUTS}' nor '{UNITS}'. Name one of them.")
    search = _Search(problem, against, time_limit_s)
    return replace(search.run(progress), seconds=round(search.clock.seconds, 3))


class _Search:
    def __init__(self, problem: Problem, against: str, time_limit_s: float | None):
        self.problem, self.against = problem, against
        self.clock = Clock(time_limit_s, len(problem.loads))
        self.driver = Driver(problem, self.clock)

    def run(self, progress: Callable[[Step], None] | None) -> Tradeoff:
        """Point after point; where the time is up or Ctrl-C comes between two solves, those found by then."""
        points: list[Point] = []
        try:
            with self.clock.searching():
                return self._points(points, progress)
        except TimeUpError:
            return self.ended(points, Solution(status=NOTHING_FOUND), self.below(points))
        except KeyboardInterrupt:
            if not points:
                raise
            return self.ended(points, Solution(status=NOTHING_FOUND, interrupted=True), self.below(points))

    def below(self, points: list[Point]) -> int | None:
        """The most that the next point may count."""
        return self.count(points[-1]) - 1 if points else None

    def _points(self, points: list[Point], progress: Callable[[Step], None] | None) -> Tradeoff:
        most: int | None = None
        first: int | None = None
        least = self.least()
        while True:
            if progress is not None:
                progress(Step(len(points), most, least, first))
            if most is not None and least is not None and most < least:
                return self.ended(points, Solution(status=INFEASIBLE), most)
            found = self.least_copper(most)
            if found.solution.objective_g is None:
                return self.ended(points, found.solution, most)
            point = self.point(found)
            if points and point.copper_g <= points[-1].copper_g + CLOSE_G:
                points.pop()
            points.append(point)
            most = self.below(points)
            first = most if first is None else first
            if found.solution.interrupted or not point.proven:
                return self.ended(points, found.solution, most)

    def ended(self, points: list[Point], last: Solution, most: int | None) -> Tradeoff:
        """The points there are, and whether they are all."""
        of = "outputs used" if self.against == OUTPUTS else "units fitted"
        where = "" if most is None else f" at {most} or fewer {of}"
        unproven = any(not point.proven for point in points)
        status, stopped = (OPTIMAL, "") if points else (INFEASIBLE, "")
        if last.status != INFEASIBLE:
            status = FEASIBLE if points else NOTHING_FOUND
            stopped = f"{self._why(last)}{where}: points with fewer {of} may be missing"
        elif unproven:
            status, stopped = FEASIBLE, self._why(last)
        if unproven:
            stopped = f"{stopped}; not every point is proven"
        return Tradeoff(
            problem=self.problem.name,
            against=self.against,
            status=status,
            points=tuple(reversed(points)),
            stopped=stopped,
            cut_short=self.driver.cut_short,
        )

    def _why(self, last: Solution) -> str:
        return "interrupted" if last.interrupted else "stopped at the time limit"

    def least(self) -> int | None:
        """The least count with the banks joined, as far as it is proven: no layout has fewer."""
        solution = optimise(self.driver.listed(banks_joined=True), time_limit_s=self.clock.left_s, change=self.counting)
        return None if solution.bound_g is None else ceil(solution.bound_g - 1e-6)

    def counting(self, model: Model) -> Model:
        """Nothing but the count is minimised."""
        return replace(model, objective=tuple(self.terms(model)), constant_g=0.0)

    def terms(self, model: Model) -> list[Term]:
        """What is counted."""
        v = model.variables
        if self.against == UNITS:
            return [(fit, 1.0) for fit in v.fit]
        return [(v.take[o.index], float(o.outputs)) for o in model.option_list.options]

    def least_copper(self, most: int | None) -> Incumbent:
        """Least copper with at most so many: with the banks joined where that is enough, else by the whole model.

        Segments that get too warm get lazy rows, for all points that follow too.
        """

        def change(model: Model) -> Model:
            v, option_list = model.variables, model.option_list
            copper = [(v.take[o.index], o.copper_g) for o in option_list.options]
            copper += [(v.feed[f.index], f.copper_g) for f in option_list.feeds]
            copper += [(v.direct[d.index], d.plan.copper_g) for d in option_list.direct]
            row = () if most is None else (("count", at_most("count", self.terms(model), most)),)
            return replace(model, objective=tuple(copper), rows=(*model.rows, *row))

        return list(self.driver.found(change=change))[-1]

    def point(self, found: Incumbent) -> Point:
        """A checked layout with its figures."""
        made = assemble(found.option_list, found.solution)
        bare = replace(made, status=FEASIBLE, objective_g=None, bound_g=None, gap=None, totals=None)
        layout = replace(complete(self.problem, bare), gap=None)
        report = check(self.problem, layout)
        if not report.clean:
            raise InternalError(report)
        assert layout.totals is not None
        return Point(
            copper_g=round(layout.totals.copper_g, 3),
            outputs_used=layout.totals.outputs_used,
            units_fitted=layout.totals.units_fitted,
            proven=found.solution.status == OPTIMAL,
            bound_g=found.solution.bound_g,
            layout=layout,
        )

    def count(self, point: Point) -> int:
        return point.outputs_used if self.against == OUTPUTS else point.units_fitted
