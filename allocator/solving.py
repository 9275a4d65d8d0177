"""The whole way: price, choose, pin, assemble, check."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from allocator.assembling import assemble, with_factors
from allocator.bundling import bundled
from allocator.checking import Report, check, complete
from allocator.checking.contact_numbers import numbered
from allocator.choosing import NOTHING_FOUND, Choice, Progress, choose, held_against
from allocator.clock import TimeUpError
from allocator.layout import FEASIBLE, INFEASIBLE, Layout
from allocator.pricing import price, relaxation, unpriced
from allocator.pricing.evident import evident
from allocator.problem import Bundling, Problem
from allocator.search import Clock, Found, better, made_good
from allocator.starting import choice_from

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
    in_bundles = problem.margins.bundle is not Bundling.NONE and bool(problem.segments)
    if in_bundles and time_limit_s is not None:
        # many solves, of which most have nothing to find: they cannot tell
        time_limit_s = max(0.0, time_limit_s - kept_back_s)
    clock = Clock(time_limit_s, len(problem.loads), kept_back_s)
    with clock.searching(start):
        found = _decide(problem, clock, gap, start, progress)
    seconds = round(clock.seconds, 3)
    return replace(finished(problem, found), seconds=seconds)


def finished(problem: Problem, found: Found) -> Layout:
    """The layout of what was found, complete and checked. Raises InternalError where the check finds a violation."""
    layout = assemble(found.pricing, found.choice, found.covered)
    if found.choice.objective_g is not None:
        if problem.margins.bundle is not Bundling.NONE:
            layout = with_factors(layout, complete(problem, layout))
        layout = numbered(problem, layout)
        report = check(problem, layout)
        if not report.clean:
            raise InternalError(report)
    return layout


def _decide(
    problem: Problem, clock: Clock, gap: float, start: Layout | None, progress: Callable[[Progress], None] | None
) -> Found:
    """The best choice: by the relaxation where that is enough, else by the whole model; in bundles by their own way.

    Where it is evident that there is none, nothing is priced.
    Where the time is up or Ctrl-C comes between two solves, what is known by then stands.
    """
    found: Found | None = None
    try:
        plain = evident(problem)
        if plain.faults:
            return Found(plain, Choice(status=INFEASIBLE), plain)
        if problem.margins.bundle is not Bundling.NONE and problem.segments:
            return bundled(problem, clock, gap, start, progress)
        for better_one in _in_turn(problem, clock, gap, start, progress):
            found = better_one
    except TimeUpError:
        pass
    except KeyboardInterrupt:
        if found is None:
            raise
        found = replace(found, choice=replace(found.choice, interrupted=True))
    if found is None:
        nothing = replace(unpriced(problem), cut_short=(UNLISTED,))
        return Found(nothing, Choice(status=NOTHING_FOUND), nothing)
    return found


def _in_turn(
    problem: Problem, clock: Clock, gap: float, start: Layout | None, progress: Callable[[Progress], None] | None
) -> Iterator[Found]:
    """What is known, more and more: by the relaxation, its circuits each at its slot made good, by the whole model."""
    known, bound = None, None
    if relaxation(problem) is not problem:
        loose = price(problem, relaxed=True)
        begin = None if start is None else choice_from(loose, start)
        first = choose(
            loose,
            time_limit_s=clock.left_for(begin),
            gap=gap,
            start=begin,
            progress=progress,
            kept_back_s=clock.kept_back_s,
        )
        bound = first.bound_g
        if first.objective_g is None:
            known = Found(loose, first, loose)
        else:
            # a choice of joined banks is no layout yet
            yield Found(loose, held_against(replace(first, objective_g=None), bound), loose)
            known = made_good(problem, loose, first, clock.left_for(first))
        yield known
        stopped = known.choice.interrupted or clock.left_s == 0.0
        if known.choice.status == INFEASIBLE or stopped or _proven(known.choice, gap):
            return
    pricing = price(problem)
    begin = None if start is None else choice_from(pricing, start)
    if known is not None and known.choice.objective_g is not None:
        begin = choice_from(pricing, assemble(known.pricing, known.choice)) or begin
    choice = choose(
        pricing,
        time_limit_s=clock.left_for(begin),
        gap=gap,
        start=begin,
        progress=progress,
        kept_back_s=clock.kept_back_s,
    )
    if choice.status == FEASIBLE:
        choice = held_against(choice, max((b for b in (choice.bound_g, bound) if b is not None), default=None))
    yield better(Found(pricing, choice, pricing), known)


def _proven(choice: Choice, gap: float) -> bool:
    return choice.gap is not None and choice.gap <= gap
