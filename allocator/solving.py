"""The whole way: price, choose, pin, assemble, check."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace

from allocator.assembling import assemble
from allocator.checking import Report, check
from allocator.checking.contact_numbers import numbered
from allocator.choosing import NOTHING_FOUND, Choice, Progress
from allocator.clock import TimeUpError
from allocator.driver import Driver, Target
from allocator.layout import INFEASIBLE, Layout
from allocator.pricing import unpriced
from allocator.pricing.evident import evident
from allocator.problem import Problem
from allocator.search import Clock, Found

__all__ = ["InternalError", "Progress", "solve"]


UNLISTED = "The time was up before every option was listed."


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
    progress: Callable[[Progress], None] | None = None,
    kept_back_s: float = 0.0,
) -> Layout:
    """The best layout of a problem, with what is proven about it.

    First the relaxation is solved (the banks of a unit joined). Where its circuits can be dealt out to the banks at the
    same objective, that is the optimum; only where they cannot is the whole model solved.

    Parameters
    ----------
    time_limit_s
        Seconds for all of it; None for no limit. What completing and checking a layout takes is kept back from it.
    gap
        Relative gap at which to stop; 0 for a full proof.
    above_g
        The gap is a share of what the objective comes to above (or below) this, in grams.
    start
        A layout to begin from. Where it is no longer possible as a whole it is left aside.
    progress
        Called about twice a second while solving.
    kept_back_s
        Seconds of the limit that are left where nothing has been found by then, for saying why.

    Raises
    ------
    InternalError
        When the independent check finds a violation in the engine's layout.
    """
    clock = Clock(time_limit_s, len(problem.loads), kept_back_s)
    with clock.searching(start), _collecting_seldom():
        found = _decide(problem, clock, Target(gap, above_g), start, progress)
    seconds = round(clock.seconds, 3)
    return replace(finished(problem, found), seconds=seconds)


@contextmanager
def _collecting_seldom() -> Iterator[None]:
    """Within, Python looks for cycles once in a million objects: options and rows have none, and it would look all day.

    A seventh of the time that the pilot boat takes.
    """
    before = gc.get_threshold()
    gc.set_threshold(1_000_000, *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)


def finished(problem: Problem, found: Found) -> Layout:
    """The layout of what was found, complete and checked. Raises InternalError where the check finds a violation."""
    layout = assemble(found.pricing, found.choice, found.covered)
    if found.choice.objective_g is not None:
        layout = numbered(problem, layout)
        report = check(problem, layout)
        if not report.clean:
            raise InternalError(report)
    return layout


def _decide(
    problem: Problem, clock: Clock, target: Target, start: Layout | None, progress: Callable[[Progress], None] | None
) -> Found:
    """The best choice: by the relaxation where that is enough, else by the whole model.

    Where it is evident that there is none, nothing is priced.
    Where the time is up or Ctrl-C comes between two solves, what is known by then stands.
    """
    found: Found | None = None
    interrupted = False
    try:
        plain = evident(problem)
        if plain.faults:
            return Found(plain, Choice(status=INFEASIBLE), plain)
        for better_one in Driver(problem, clock).found(target=target, start=start, progress=progress):
            found = better_one
    except TimeUpError:
        pass
    except KeyboardInterrupt:
        interrupted = True
    if found is None:
        nothing = replace(unpriced(problem), cut_short=() if interrupted else (UNLISTED,))
        return Found(nothing, Choice(status=NOTHING_FOUND, interrupted=interrupted), nothing)
    if interrupted:
        return replace(found, choice=replace(found.choice, interrupted=True))
    return found
