"""The whole way: list options, optimise, assemble, check."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace

from allocator.assembly import assemble
from allocator.checking import Report, check
from allocator.clock import TimeUpError
from allocator.evaluation.contact_numbering import numbered
from allocator.layout import INFEASIBLE, Layout
from allocator.model import NOTHING_FOUND, Progress, Solution
from allocator.options import Cut, CutShort, LazyRows, empty_option_list
from allocator.options.evident_faults import with_evident_faults
from allocator.problem import Problem
from allocator.search.driver import Driver, Target
from allocator.search.incumbent import Incumbent, latest
from allocator.search.time_limit import Clock

__all__ = ["InternalError", "Progress", "solve"]


class InternalError(RuntimeError):
    """A layout of the engine's own that the independent check refuses: a bug, never an answer."""

    def __init__(self, report: Report):
        self.report = report
        found = "\n".join(f"  {violation.text}" for violation in report.violations[:5])
        super().__init__(f"the engine's layout fails its own check ({len(report.violations)} violations):\n{found}")


def solve(
    problem: Problem,
    *,
    time_limit_s: float | None = None,
    gap: float = 0.0,
    above_g: float = 0.0,
    start: Layout | None = None,
    lazy: LazyRows | None = None,
    progress: Callable[[Progress], None] | None = None,
    kept_back_s: float = 0.0,
    checked: Callable[[Report], None] | None = None,
) -> Layout:
    """The best layout of a problem, with what is proven about it.

    The problem with the banks of each unit joined, a relaxation, is solved first. Where its circuits can be dealt out
    to the banks at the same objective, that is the optimum; only where they cannot is the whole model solved.

    Parameters
    ----------
    time_limit_s
        Seconds for all of it; None for no limit. What completing and checking a layout takes is kept back from it.
    gap
        Relative gap at which to stop; 0 for a full proof.
    above_g
        The gap is a share of what the objective comes to above (or below) this, in grams.
    start
        A layout as warm start. Where it is no longer possible as a whole it is left aside.
    lazy
        Lazy rows to begin with, of a problem with the same segments that is nearly this one.
    progress
        Called about twice a second while solving.
    kept_back_s
        Seconds of the limit that are kept for saying why, where no layout has been found by then.
    checked
        Called with the report of the independent check that the layout has passed, so that it need not be run again.

    Raises
    ------
    InternalError
        When the independent check finds a violation in the engine's layout.
    """
    clock = Clock(time_limit_s, len(problem.loads), kept_back_s)
    with clock.searching(start), _collecting_seldom():
        found = _decide(problem, Driver(problem, clock, lazy=lazy), Target(gap, above_g), start, progress)
    seconds = round(clock.seconds, 3)
    layout, report = finished(problem, found)
    if report is not None and checked is not None:
        checked(replace(report, layout=replace(report.layout, seconds=seconds)))
    return replace(layout, seconds=seconds)


@contextmanager
def _collecting_seldom() -> Iterator[None]:
    """Inside, Python's garbage collector runs once in a million objects: options and rows have no cycles to find.

    Saves a seventh of the time that the pilot boat takes.
    """
    before = gc.get_threshold()
    gc.set_threshold(1_000_000, *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)


def finished(problem: Problem, found: Incumbent) -> tuple[Layout, Report | None]:
    """The complete layout of what was found, with the report of its check; no report where no layout was found.

    Raises InternalError where the check finds a violation.
    """
    layout = assemble(found.option_list, found.solution, found.covered)
    if found.solution.objective_g is None:
        return layout, None
    layout = numbered(problem, layout)
    report = check(problem, layout)
    if not report.clean:
        raise InternalError(report)
    return layout, report


def _decide(
    problem: Problem, driver: Driver, target: Target, start: Layout | None, progress: Callable[[Progress], None] | None
) -> Incumbent:
    """The best solution: with the banks joined where that is enough, else by the whole model.

    Where it is evident that there is none, no option is listed.
    Where the time is up or Ctrl-C comes between two solves, what is known by then stands.
    """
    found: Incumbent | None = None
    interrupted = False
    try:
        plain = with_evident_faults(problem)
        if plain.faults:
            return Incumbent(plain, Solution(status=INFEASIBLE), plain)
        found = latest(driver.found(target=target, start=start, progress=progress))
    except TimeUpError:
        pass
    except KeyboardInterrupt:
        interrupted = True
    if found is not None:
        return found
    nothing = replace(empty_option_list(problem), cut_short=() if interrupted else (CutShort(Cut.TIME),))
    return Incumbent(nothing, Solution(status=NOTHING_FOUND, interrupted=interrupted), nothing)
