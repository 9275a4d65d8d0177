"""Why a layout is as it is: of one load, or of the circuits that gave way most."""

from __future__ import annotations

from typing import overload

from allocator.checking import Report
from allocator.clock import at_least, until
from allocator.evaluation.prepare import prepare
from allocator.explaining.compromises import Compromises, compromises
from allocator.explaining.explained_layout import ExplainedLayout
from allocator.explaining.explanation import Explanation, explained
from allocator.layout import FEASIBLE, INFEASIBLE, OPTIMAL, Layout
from allocator.problem import Mistake, Problem, ProblemError, Supply
from allocator.problem.near_misses import suggestion
from allocator.search.solve import solve
from allocator.search.stopwatch import Stopped, Stopwatch, Told
from allocator.search.time_limit import LEAST_S


class NoLayoutError(RuntimeError):
    """There is no layout: ``layout`` says whether that is proven."""

    def __init__(self, layout: Layout):
        self.layout = layout
        super().__init__(
            "no layout is possible; why_not gives the reasons"
            if layout.status == INFEASIBLE
            else "no layout was found in the time: give it more time"
        )


@overload
def explain(
    problem: Problem,
    load: str,
    layout: Layout | None = None,
    *,
    time_limit_s: float | None = None,
    progress: Told | None = None,
    stopped: Stopped | None = None,
    exact: bool = False,
    report: Report | None = None,
) -> Explanation: ...


@overload
def explain(
    problem: Problem,
    load: None = None,
    layout: Layout | None = None,
    *,
    time_limit_s: float | None = None,
    progress: Told | None = None,
    stopped: Stopped | None = None,
    exact: bool = False,
    report: Report | None = None,
) -> Compromises: ...


def explain(
    problem: Problem,
    load: str | None = None,
    layout: Layout | None = None,
    *,
    time_limit_s: float | None = None,
    progress: Told | None = None,
    stopped: Stopped | None = None,
    exact: bool = False,
    report: Report | None = None,
) -> Explanation | Compromises:
    """Why a load is fed from where it is; without a load, the ten costliest compromises.

    Parameters
    ----------
    layout
        The layout to explain, also one made by hand; None to have the problem solved.
    time_limit_s
        Seconds for all that is solved; None for no limit, but that other places have ``ELSEWHERE_S`` together unless
        they are to be ``exact``.
    progress
        Told what is being solved.
    stopped
        Asked between solves whether to end with what is found.
    exact
        Whether each layout with the load elsewhere is proven in full; else its extra weight is known to within a tenth.
    report
        That of the layout's check, where it is at hand: then the layout is not evaluated again.

    Raises
    ------
    ProblemError
        Where no such load is fed by a unit.
    NoLayoutError
        Where there is no layout.
    TimeUpError
        When the time is up before the options beside the layout are listed.
    """
    if load is not None:
        check_load(problem, load)
    stopwatch = Stopwatch(time_limit_s, progress, stopped)
    reports = [] if report is None else [report]
    with until(time_limit_s):
        if layout is None:
            stopwatch.tell("the layout itself, because none was given")
            limit_s = None if time_limit_s is None else time_limit_s / 2.0
            layout = solve(problem, time_limit_s=limit_s, checked=reports.append)
            if layout.status not in (OPTIMAL, FEASIBLE):
                raise NoLayoutError(layout)
        with at_least(LEAST_S):
            explained_layout = ExplainedLayout.of(reports[-1].context if reports else prepare(problem, layout))
        return (
            compromises(explained_layout) if load is None else explained(explained_layout, load, stopwatch, exact=exact)
        )


def check_load(problem: Problem, load: str) -> None:
    """Raise where no such load is fed by a unit, with the name that is nearly right."""
    fed = [own.name for own in problem.loads if own.supply is Supply.UNIT]
    if load in fed:
        return
    direct = load in problem.load
    wrong = "is fused at the source, and no unit feeds it" if direct else "is not a load of the problem"
    items = [own.name for own in problem.loads if own.item == load and own.name in fed]
    remedy = f"Write '{items[0]}', one of {len(items)}" if items else suggestion(load, fed, "load")
    raise ProblemError([Mistake(table="loads", field="load", value=load, wrong=wrong, remedy=remedy)])
