"""The one place that talks to PuLP and HiGHS. Status, bound and gap are read from HiGHS itself."""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from math import inf
from typing import Any

from allocator.aside import run_aside
from allocator.clock import ends, heed_clock
from allocator.model.model import Model
from allocator.model.rows import Sense, Variable

SECONDS_BETWEEN_REPORTS = 0.5

GRACE_S = 0.3
"""Seconds that HiGHS has to stop once it is asked to; then it is left behind, as some of its phases never look."""


STALE_G = 1e-4
"""Grams by which rounding may separate the values of a solution from the objective reported with them."""

NEEDLESS_WITH_A_START = ("mip_heuristic_run_rens", "mip_heuristic_run_root_reduced_cost")
"""Heuristics of HiGHS that solve smaller problems: without them the crop sprayer takes two thirds of the time."""

UNKNOWN = 1e29
"""HiGHS gives objectives and bounds beyond this where it knows none."""


@dataclass(frozen=True, slots=True)
class Progress:
    """Where a solve stands: best objective, bound and gap are None while unknown."""

    best_g: float | None
    bound_g: float | None
    gap: float | None
    seconds: float


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the solver found: whole numbers per column (None: nothing), a bound, and why it stopped.

    ``proven`` is True when the bound meets the objective, ``infeasible`` when no solution exists; neither when
    a limit or an interrupt stopped it. ``objective_g`` is the solver's own figure for the values,
    None where it gave none.
    """

    values: tuple[float, ...] | None
    bound_g: float | None
    proven: bool
    infeasible: bool
    interrupted: bool
    nodes: int
    version: str
    objective_g: float | None = None


def run(
    model: Model,
    *,
    time_limit_s: float | None = None,
    gap: float = 0.0,
    start: Mapping[int, float] | None = None,
    progress: Callable[[Progress], None] | None = None,
    presolve: bool = True,
    confirmed: bool = True,
    cutoff_g: float = inf,
    target_g: float = -inf,
    kept_back_s: float = 0.0,
) -> Outcome:
    """Solve a model with HiGHS, on one thread and with a fixed seed.

    It ends, too, where the time of `clock` is up, and within `GRACE_S` of any limit.

    Parameters
    ----------
    model
        What to solve.
    time_limit_s
        Seconds for it; None for no limit.
    gap
        Relative gap at which to stop; 0 for a full proof.
    start
        A value for each column or for some, by index, as warm start.
    progress
        Called about twice a second. What it raises is raised once HiGHS has ended.
    presolve
        Whether HiGHS presolves the model.
    confirmed
        Whether a verdict of infeasible is confirmed without presolve, within the same limit: HiGHS has given false ones
        with it. False where a wrong one only costs a way out.
    cutoff_g
        A bound of so many grams ends it: nothing better is asked for.
    target_g
        A solution of so many grams ends it: none better is known to exist.
    kept_back_s
        It ends so many seconds before the limit, at most half of the time, while it has neither a start nor a solution.

    Raises
    ------
    TimeUpError
        When the time of `clock` is up while the model is handed over.
    """
    began = time.monotonic()
    outcome = _solved(model, time_limit_s, gap, start, progress, presolve, cutoff_g, target_g, kept_back_s)

    def left_s() -> float | None:
        return None if time_limit_s is None else max(1.0, time_limit_s - (time.monotonic() - began))

    if start is not None and _stale(model, outcome):
        outcome = _solved(model, left_s(), gap, None, progress, presolve, cutoff_g, target_g, kept_back_s)
    if outcome.infeasible and presolve and confirmed:
        return _solved(model, left_s(), gap, start, progress, False, cutoff_g, target_g, kept_back_s)
    return outcome


def _stale(model: Model, outcome: Outcome) -> bool:
    """Whether the values do not match the objective reported with them.

    Where presolve alone improves a feasible start, HiGHS 1.16 proves the better objective but returns the start: it
    would be called optimal, and is not.
    """
    if outcome.values is None or outcome.objective_g is None:
        return False
    own = sum(c * outcome.values[x.index] for x, c in model.objective)
    return abs(own - outcome.objective_g) > STALE_G + 1e-6 * abs(own)


def _solved(
    model: Model,
    time_limit_s: float | None,
    gap: float,
    start: Mapping[int, float] | None,
    progress: Callable[[Progress], None] | None,
    presolve: bool,
    cutoff_g: float,
    target_g: float,
    kept_back_s: float,
) -> Outcome:
    problem = formulated(model)
    if problem is None:
        return Outcome(None, None, False, True, False, 0, _version())
    monitor = _Monitor(progress, model.constant_g, time_limit_s, cutoff_g, 0.0 if start else kept_back_s, target_g)
    listening = ExitStack()
    options: dict[str, Any] = {"random_seed": 0, "presolve": "on" if presolve else "off"}

    def started(highs: Any) -> None:
        if start is not None:
            for heuristic in NEEDLESS_WITH_A_START:
                highs.setOptionValue(heuristic, False)
            # (part of) a first solution: PuLP's own warm start is not passed on
            highs.setSolution(len(start), list(start), list(start.values()))
            monitor.completes(highs, model, start)
        highs.setCallback(monitor.called, None)
        for kind in monitor.kinds():
            highs.startCallback(kind)
        # from here on, not while PuLP hands the model over: that may take seconds, and nothing is lost yet
        listening.enter_context(monitor.listening())
        run_aside(highs.run, monitor.ask)

    solver = highs_that(started)(
        msg=False,
        threads=1,
        gapRel=gap,
        timeLimit=None if time_limit_s is None else max(0.0, time_limit_s),
        **options,
    )
    try:
        with listening:
            problem.solve(solver)
        outcome = _outcome(problem.solverModel, monitor.interrupted, gap)
    except LeftBehindError:
        outcome = monitor.outcome()
    monitor.raise_any()
    return outcome


def formulated(model: Model) -> Any:
    """The model as a problem of PuLP; None where a row without columns cannot hold."""
    import pulp

    problem = pulp.LpProblem("allocation", pulp.LpMinimize)
    columns = [
        problem.add_variable(f"c{c.index:07d}", 0, c.upper, pulp.LpInteger if c.integer else pulp.LpContinuous)
        for c in model.columns
    ]
    # every column stands in the objective, so that PuLP passes all of them on, in our order
    problem += _sum_of(columns, [*((c, 0.0) for c in model.columns), *model.objective])
    for number, (_, row) in enumerate(model.rows):
        heed_clock()
        expression = _sum_of(columns, row.terms)
        if not row.terms:
            if _holds(row.sense, row.right):
                continue
            return None
        if row.sense is Sense.AT_MOST:
            problem += expression <= row.right, f"r{number:07d}"
        elif row.sense is Sense.AT_LEAST:
            problem += expression >= row.right, f"r{number:07d}"
        else:
            problem += expression == row.right, f"r{number:07d}"
    return problem


def _sum_of(columns: Sequence[Any], terms: Iterable[tuple[Variable, float]]) -> Any:
    """A linear expression of PuLP, term by term: versions 3 and 4 have no common way to make one of a list."""
    import pulp

    expression = pulp.lpSum([])
    for variable, coefficient in terms:
        expression.addterm(columns[variable.index], coefficient)
    return expression


def _holds(sense: Sense, right: float) -> bool:
    return (right >= 0 or sense is Sense.AT_LEAST) and (right <= 0 or sense is Sense.AT_MOST)


def _version() -> str:
    from importlib.metadata import version

    return version("highspy")


def highs_that(call: Callable[[Any], None]) -> Any:
    """PuLP's HiGHS as a class that starts in silence, and then hands HiGHS, with the model in it, to a call.

    So callbacks, for one, are set once HiGHS has been told to be silent, not by PuLP before that.
    """
    import pulp

    class Told(pulp.HiGHS):  # type: ignore[misc]
        def createAndConfigureSolver(self, lp: Any) -> None:  # noqa: N802 - PuLP's name
            with standard_output_closed():
                super().createAndConfigureSolver(lp)

        def callSolver(self, lp: Any) -> None:  # noqa: N802 - PuLP's name
            call(lp.solverModel)

    return Told


@contextmanager
def standard_output_closed() -> Iterator[None]:
    """HiGHS 1.16 prints a banner as soon as it is made, before it can be told to be silent."""
    sys.stdout.flush()
    kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


def _outcome(highs: Any, interrupted: bool, gap: float) -> Outcome:
    import highspy

    status, info = highs.getModelStatus(), highs.getInfo()
    infeasible = status in (
        highspy.HighsModelStatus.kInfeasible,
        highspy.HighsModelStatus.kUnboundedOrInfeasible,
    )
    found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    values = tuple(float(x) for x in highs.getSolution().col_value) if found and not infeasible else None
    bound = info.mip_dual_bound if info.mip_node_count >= 0 and abs(info.mip_dual_bound) < UNKNOWN else None
    optimal = status == highspy.HighsModelStatus.kOptimal
    if optimal and info.mip_node_count < 0:
        bound = info.objective_function_value
    proven = optimal and (gap == 0.0 or (bound is not None and info.objective_function_value - bound <= 1e-6))
    objective = info.objective_function_value if found else None
    nodes = max(0, int(info.mip_node_count))
    return Outcome(values, bound, proven, infeasible, interrupted, nodes, _version(), objective)


class LeftBehindError(Exception):
    """HiGHS was asked to stop, and did not in time."""


class _Monitor:
    """Callback of the solver: reports progress at an interval, and passes on an interrupt from the keyboard.

    It keeps the best solution and bound it has seen, in case HiGHS has to be left behind.
    """

    def __init__(
        self,
        progress: Callable[[Progress], None] | None,
        constant_g: float,
        time_limit_s: float | None,
        cutoff_g: float,
        kept_back_s: float,
        target_g: float = -inf,
    ):
        self.progress = progress
        self.constant_g = constant_g
        self.cutoff_g, self.target_g = cutoff_g - constant_g, target_g - constant_g
        self.interrupted = False
        self.error: BaseException | None = None
        self.began = self.last = time.monotonic()
        # HiGHS looks at its own limit between phases only, and some phases are long
        self.ends = min(ends(), inf if time_limit_s is None else self.began + time_limit_s)
        self.kept_back_s = min(kept_back_s, 0.5 * max(0.0, self.ends - self.began))
        self.asked: float | None = None
        self.fixed: tuple[Any, int] | None = None
        self.values: tuple[float, ...] | None = None
        self.bound_g: float | None = None

    def completes(self, highs: Any, model: Model, start: Mapping[int, float]) -> None:
        """Note a start that HiGHS completes first, as a MIP with the columns of the start fixed."""
        self.fixed = next(((highs, x) for x in start if model.columns[x].upper != 0.0), None)

    def completing(self) -> bool:
        """Whether HiGHS is still completing a start: a bound that it reports then does not hold for the model."""
        if self.fixed is not None:
            highs, column = self.fixed
            _, _, lower, upper, _ = highs.getCol(column)
            if lower < upper:
                self.fixed = None
        return self.fixed is not None

    def kinds(self) -> list[Any]:
        import highspy

        kind = highspy.cb.HighsCallbackType
        asking = [kind.kCallbackMipInterrupt, kind.kCallbackSimplexInterrupt, kind.kCallbackIpmInterrupt]
        return [*asking, kind.kCallbackMipImprovingSolution]

    def over(self, now: float) -> bool:
        """Whether the time is up: sooner where there is nothing yet."""
        return now > self.ends - (self.kept_back_s if self.values is None else 0.0)

    def enough(self, data_out: Any) -> bool:
        """Whether nothing better can be found, or the target is reached."""
        bound_g, best_g = float(data_out.mip_dual_bound), float(data_out.mip_primal_bound)
        return self.cutoff_g <= bound_g < inf or best_g <= self.target_g

    def ask(self) -> None:
        """Raise LeftBehindError once HiGHS should have stopped and has not."""
        now = time.monotonic()
        if self.asked is None and (self.interrupted or self.error is not None or self.over(now)):
            self.asked = now
        if self.asked is not None and now > self.asked + GRACE_S:
            raise LeftBehindError

    def outcome(self) -> Outcome:
        """What HiGHS has found by now, as far as it has reported."""
        return Outcome(self.values, self.bound_g, False, False, self.interrupted, 0, _version())

    def called(self, kind: Any, _message: str, data_out: Any, data_in: Any, _user: Any) -> None:
        """What HiGHS calls. An exception here would be swallowed, so it is kept and raised after the solve."""
        try:
            if _improving(kind):
                self.values = tuple(float(x) for x in data_out.mip_solution)
                return
            if self.interrupted or self.error is not None:
                data_in.user_interrupt = True
                return
            searching = _searching(kind) and not self.completing()
            if searching and abs(data_out.mip_dual_bound) < UNKNOWN:
                self.bound_g = data_out.mip_dual_bound
            now = time.monotonic()
            if self.over(now) or (searching and self.enough(data_out)):
                data_in.user_interrupt = True
                return
            if self.progress is None or now - self.last < SECONDS_BETWEEN_REPORTS:
                return
            if searching:
                self.last = now
                self.progress(_progress(data_out, self.constant_g, now - self.began))
        except BaseException as error:
            self.error = error

    @contextmanager
    def listening(self) -> Iterator[None]:
        """While solving, Ctrl-C and signals that act like it ask the solver to stop; nothing is broken off."""
        if threading.current_thread() is not threading.main_thread():
            yield
            return

        def stop(_signal: int, _frame: Any) -> None:
            self.interrupted = True

        taken = [one for one in signal.valid_signals() if signal.getsignal(one) is signal.default_int_handler]
        try:
            for one in taken:
                signal.signal(one, stop)
            yield
        finally:
            for one in taken:
                signal.signal(one, signal.default_int_handler)

    def raise_any(self) -> None:
        if self.error is not None:
            raise self.error


def _searching(kind: Any) -> bool:
    import highspy

    return bool(kind == highspy.cb.HighsCallbackType.kCallbackMipInterrupt)


def _improving(kind: Any) -> bool:
    import highspy

    return bool(kind == highspy.cb.HighsCallbackType.kCallbackMipImprovingSolution)


def _progress(data: Any, constant_g: float, seconds: float) -> Progress:
    best = data.mip_primal_bound + constant_g if abs(data.mip_primal_bound) < UNKNOWN else None
    bound = data.mip_dual_bound + constant_g if abs(data.mip_dual_bound) < UNKNOWN else None
    gap = (best - bound) / abs(best) if best and bound is not None else None
    return Progress(best, bound, gap, seconds)
