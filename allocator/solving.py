"""The whole way: price, choose, pin, assemble, check."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from math import inf

from allocator.assembling import assemble
from allocator.checking import Report, check
from allocator.checking.contact_numbers import numbered
from allocator.choosing import NOTHING_FOUND, Choice, Progress, choose, held_against, pairs_of
from allocator.choosing.fixing import Dear, fixed
from allocator.choosing.objective import lightest_g
from allocator.choosing.passed import passed
from allocator.clock import TimeUpError
from allocator.layout import INFEASIBLE, Layout
from allocator.pricing import Cutoff, Pricing, Watch, price, relaxation, unpriced
from allocator.pricing.evident import evident
from allocator.problem import Problem
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


@dataclass(frozen=True, slots=True)
class _Target:
    """The gap at which to stop, as a share of what the objective comes to above (or below) some grams."""

    gap: float
    above_g: float

    def met_by(self, choice: Choice) -> bool:
        """Whether no more has to be proven."""
        if choice.objective_g is None or choice.bound_g is None:
            return False
        if choice.gap == 0.0:
            return True
        return choice.objective_g - choice.bound_g <= self.gap * abs(choice.objective_g - self.above_g)

    @property
    def of_a_solve(self) -> float:
        """The relative gap of one solve on the way; in full where it is not known yet what that comes to."""
        return 0.0 if self.above_g else self.gap


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
        found = _decide(problem, clock, _Target(gap, above_g), start, progress)
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
    problem: Problem, clock: Clock, target: _Target, start: Layout | None, progress: Callable[[Progress], None] | None
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
        for better_one in _in_turn(problem, clock, target, start, progress):
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


def _in_turn(
    problem: Problem, clock: Clock, target: _Target, start: Layout | None, progress: Callable[[Progress], None] | None
) -> Iterator[Found]:
    """What is known, more and more.

    The relaxation is solved before the whole model, and each as if every wire lay alone but in the segments that are
    watched. Where a choice makes a bundle too warm, its segment is watched from then on: heavier wires and ways round
    are listed there, and rows hold its heat. The circuits of each choice are made good, for a layout early.
    Every bound on the way holds for all layouts.
    """
    known: Found | None = None
    watch, met = Watch(), Watch()
    bounds: list[tuple[Watch, float]] = []
    dear: tuple[Dear, ...] = ()
    asked: object = None
    levels = (True, False) if relaxation(problem) is not problem else (False,)
    standing = _Standing(progress, clock)
    for relaxed in levels:
        while True:
            pricing = price(problem, relaxed=relaxed, watch=watch, cutoffs=_cutoffs(known, bounds))
            if known is None and start is not None:
                known, met = _from_start(problem, pricing, start, clock, met)
            if known is not None and known.choice.objective_g is not None:
                pricing, dear = fixed(pricing, known.choice.objective_g, dear)
            begin = _begin(pricing, known, start)
            standing.begun(pricing, known)
            choice = choose(
                pricing,
                time_limit_s=clock.left_for(begin),
                gap=target.of_a_solve,
                start=begin,
                progress=None if progress is None else standing.heard,
                kept_back_s=clock.kept_back_s,
                enough_g=_known_g(known),
            )
            if choice.bound_g is not None:
                bounds.append((watch, choice.bound_g))
            over = passed(pricing, choice)
            found = Found(pricing, choice, pricing)
            if choice.objective_g is not None and (over or relaxed):
                # no layout yet
                bound = held_against(replace(choice, objective_g=None), choice.bound_g)
                known = better(Found(pricing, bound, pricing), known)
                yield known
                met |= watch | over
                ask = (frozenset(pairs_of(pricing, choice)), met)
                if not target.met_by(known.choice) and ask != asked:
                    found, met = made_good(problem, pricing, choice, clock.left_for(choice), watch=met)
                    asked = (ask[0], met)
                    known = better(found, known)
            else:
                known = better(found, known)
            yield known
            stopped = choice.interrupted or choice.objective_g is None or clock.left_s == 0.0
            if stopped or target.met_by(known.choice):
                return
            if not over:
                break
            # heat comes first: with its bound at hand, little has to be listed where drops alone ask for more
            watch |= over.without_warm or over


def _cutoffs(known: Found | None, bounds: Sequence[tuple[Watch, float]]) -> tuple[Cutoff, ...]:
    """What is too heavy for anything better than what is known; nothing where nothing is."""
    if known is None or known.choice.objective_g is None:
        return ()
    return tuple(Cutoff(watch, max(0.0, known.choice.objective_g - bound)) for watch, bound in bounds)


def _from_start(
    problem: Problem, pricing: Pricing, start: Layout, clock: Clock, watch: Watch
) -> tuple[Found | None, Watch]:
    """The circuits of a known layout made good; None where it is no longer possible."""
    begin = choice_from(pricing, start)
    if begin is None:
        return None, watch
    found, watch = made_good(problem, pricing, begin, clock.left_for(begin), watch=watch)
    return (found if found.choice.objective_g is not None else None), watch


def _known_g(known: Found | None) -> float:
    return inf if known is None or known.choice.objective_g is None else known.choice.objective_g


def _begin(pricing: Pricing, known: Found | None, start: Layout | None) -> Choice | None:
    if known is not None and known.choice.objective_g is not None:
        return choice_from(pricing, assemble(known.pricing, known.choice))
    return None if start is None else choice_from(pricing, start)


class _Standing:
    """Passes progress on with the best layout and the best bound that are known anywhere in the search."""

    def __init__(self, progress: Callable[[Progress], None] | None, clock: Clock):
        self.progress, self.clock = progress, clock
        self.known: Found | None = None
        self.bound_g: float | None = None

    def begun(self, pricing: Pricing, known: Found | None) -> None:
        """Tell what is known before a solve: at the least that each load takes its lightest circuit."""
        self.known = known
        if self.progress is not None:
            self.heard(Progress(None, lightest_g(pricing), None, 0.0))

    def heard(self, now: Progress) -> None:
        """Tell more."""
        choice = None if self.known is None else self.known.choice
        bounds = [self.bound_g, now.bound_g, None if choice is None else choice.bound_g]
        self.bound_g = max((bound for bound in bounds if bound is not None), default=None)
        best = now.best_g if choice is None or choice.objective_g is None else choice.objective_g
        gap = (best - self.bound_g) / abs(best) if best and self.bound_g is not None else None
        if self.progress is not None:
            self.progress(Progress(best, self.bound_g, gap, self.clock.seconds))
