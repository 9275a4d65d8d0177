"""The order of solves in every search: banks joined, fix and optimise, the whole model, lazy rows on bundles."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from math import inf

from allocator.assembly import assemble
from allocator.layout import INFEASIBLE, Layout
from allocator.model import Model, Progress, Solution, optimise, pairs_of, with_bound
from allocator.model.objective import lightest_g
from allocator.model.reduced_cost_fixing import AfterFixing, FixedOptions, fix_by_reduced_cost
from allocator.model.separation import separate
from allocator.model.solution import EQUAL_G
from allocator.options import CutShort, LazyRows, OptionList, PruningBound, list_options, with_banks_joined
from allocator.problem import Bundling, Problem
from allocator.search.fix_and_optimise import fix_and_optimise
from allocator.search.incumbent import Incumbent, better
from allocator.search.listing import Listing
from allocator.search.time_limit import Clock
from allocator.search.warm_start import solution_from

FEW, FEW_A_LOAD = 700, 10
"""How many options of least reduced cost are searched on their own: at least, and per load."""

FIRST, MANY = 2, 4
"""They are searched first where there are so many times more options: with no layout known, and with one."""

FIRST_GAP, FEW_GAP = 0.01, 0.001
"""The gap at which that search stops: with no layout known, and with one."""

FEW_SHARE = 0.25
"""Share of the time left that it may take."""


@dataclass(frozen=True, slots=True)
class Target:
    """The gap at which to stop, as a share of what the objective comes to above (or below) some grams."""

    gap: float = 0.0
    above_g: float = 0.0

    def met_by(self, solution: Solution) -> bool:
        """Whether no more has to be proven."""
        if solution.objective_g is None or solution.bound_g is None:
            return False
        if solution.gap == 0.0:
            return True
        return solution.objective_g - solution.bound_g <= self.gap * abs(solution.objective_g - self.above_g)

    @property
    def of_a_solve(self) -> float:
        """The relative gap of one solve on the way; in full where it is not known yet what that comes to."""
        return 0.0 if self.above_g else self.gap


class Driver:
    """Searches of one problem: each starts with the lazy rows that earlier ones added.

    ``lazy``: the segments on whose bundles there are rows. ``met``: all rows that any layout on the way needed, for
    fix and optimise. ``listing``: where other options than all of the problem are listed; its banks are then not joined
    first.
    """

    def __init__(self, problem: Problem, clock: Clock, listing: Listing | None = None, lazy: LazyRows | None = None):
        self.problem, self.clock = problem, clock
        self.lazy, self.met = lazy or LazyRows(), LazyRows()
        self.levels = (True, False) if listing is None and with_banks_joined(problem) is not problem else (False,)
        self.listing: Listing = listing or partial(list_options, problem)
        self._listed: dict[bool, OptionList] = {}

    def listed(self, *, banks_joined: bool, prunings: tuple[PruningBound, ...] = ()) -> OptionList:
        """The options with the lazy rows so far, listed once for as many searches as they serve."""
        listing = partial(list_options, self.problem, banks_joined=True) if banks_joined else self.listing
        if prunings:
            return listing(lazy=self.lazy, prunings=prunings)
        if banks_joined not in self._listed or self._listed[banks_joined].lazy != self.lazy:
            self._listed[banks_joined] = listing(lazy=self.lazy)
        return self._listed[banks_joined]

    @property
    def cut_short(self) -> tuple[CutShort, ...]:
        """What was not listed in full, of what was listed first."""
        return next((option_list.cut_short for option_list in self._listed.values()), ())

    def found(
        self,
        *,
        target: Target = Target(),
        start: Layout | None = None,
        progress: Callable[[Progress], None] | None = None,
        change: Callable[[Model], Model] | None = None,
        weighed: bool = True,
    ) -> Iterator[Incumbent]:
        """The incumbent, better and better.

        The problem with its banks joined is solved before the whole model, and each without bundle derating except in
        segments with lazy rows. Where a solution makes a bundle too warm, its segment gets lazy rows: heavier wires and
        ways round are listed there, and rows hold its heat. The circuits of each solution are fixed and the rest
        optimised, for a layout early. Every bound on the way holds for all layouts.

        Parameters
        ----------
        target
            The gap at which to stop.
        start
            A layout as warm start; None for none.
        progress
            Called about twice a second while solving.
        change
            May add rows to the model, and put another objective in place of the weights.
        weighed
            False where an option may cost less in that objective than a lighter one that is alike: then none is left
            out for its weight.

        Raises
        ------
        TimeUpError
            When the time of the clock is up.
        """
        return _Search(self, target, start, progress, change, weighed).found()


class _Search:
    """One search of a driver."""

    def __init__(
        self,
        driver: Driver,
        target: Target,
        start: Layout | None,
        progress: Callable[[Progress], None] | None,
        change: Callable[[Model], Model] | None,
        weighed: bool,
    ):
        self.driver, self.clock, self.target, self.start, self.change = driver, driver.clock, target, start, change
        self.weighed = weighed
        # whether every solution found is a layout of the whole problem: no rows still to add, no banks joined
        is_layout = driver.problem.margins.bundle is Bundling.NONE and len(driver.levels) == 1
        self.told = None if progress is None else _Told(progress, driver.clock, is_layout)
        self.incumbent: Incumbent | None = None
        self.bounds: list[tuple[LazyRows, float]] = []
        self.fixed: tuple[FixedOptions, ...] = ()
        self.left: AfterFixing | None = None
        self.asked: object = None
        self.interrupted = False
        self.few = max(FEW, FEW_A_LOAD * len(driver.problem.loads))

    def found(self) -> Iterator[Incumbent]:
        """The incumbent, better and better."""
        for banks_joined in self.driver.levels:
            over: LazyRows | None = None
            while over is None or over:
                if over:
                    # simplest rows first: with their bound, little has to be listed for the rest
                    before = self.driver.lazy
                    self.driver.lazy |= over.simplest
                    if self.driver.lazy == before:
                        # the exact rule is missed by less than these rows can tell: they would be made for ever
                        return
                option_list = self._listed(banks_joined)
                first = self._incumbent_g is None
                many = (FIRST if first else MANY) * self.few
                if self.left is not None and len(option_list.options) > many:
                    yield from self._among_few(self.left, banks_joined)
                    if self._done or self.interrupted or self.clock.left_s == 0.0:
                        return
                    # at first only the relaxation gives a bound: it prunes little, and listing anew takes long
                    option_list = self._fixed(self.covered) if first else self._listed(banks_joined)
                solution = self._optimised(option_list)
                over = separate(option_list, solution)
                yield from self._learnt(option_list, solution, over, banks_joined)
                stopped = solution.interrupted or solution.objective_g is None or self.clock.left_s == 0.0
                if stopped or self._done:
                    return

    @property
    def _incumbent_g(self) -> float | None:
        return None if self.incumbent is None else self.incumbent.solution.objective_g

    @property
    def _cutoff_g(self) -> float:
        """The objective that a better layout has to beat."""
        return inf if self._incumbent_g is None else self._incumbent_g

    @property
    def _done(self) -> bool:
        return self.incumbent is not None and self.target.met_by(self.incumbent.solution)

    def _listed(self, banks_joined: bool) -> OptionList:
        """The options, less those in no layout better than the incumbent."""
        self.covered = option_list = self.driver.listed(banks_joined=banks_joined, prunings=self._prunings())
        if self.incumbent is None and self.start is not None:
            self._from_start(option_list, self.start)
        return self._fixed(option_list)

    def _fixed(self, option_list: OptionList) -> OptionList:
        """The same, less what the LP relaxation rules out given the incumbent."""
        if self._incumbent_g is None and len(option_list.options) <= FIRST * self.few:
            return option_list
        self.left = fix_by_reduced_cost(option_list, self._cutoff_g, self.fixed, self.change)
        self.fixed = self.left.fixed
        if self.left.bound_g is not None:
            # every layout weighs at least as much as the incumbent, or as that bound
            self._learn_bound(min(self.left.bound_g, self._cutoff_g))
        return self.left.option_list

    def _among_few(self, left: AfterFixing, banks_joined: bool) -> Iterator[Incumbent]:
        """A better layout from the options of least reduced cost; a proof over these is no proof over all."""
        driver = self.driver
        if banks_joined and self._incumbent_g is not None:
            whole = driver.listed(banks_joined=False, prunings=self._prunings())
            left = fix_by_reduced_cost(whole, self._cutoff_g, self.fixed, self.change)
        few = left.cheapest(self.few)
        warm_start = self._warm_start(few)
        left_s = self.clock.left_for(warm_start)
        limit_s = None if left_s is None else FEW_SHARE * left_s
        solution = optimise(
            few,
            time_limit_s=limit_s,
            gap=max(self.target.of_a_solve, FIRST_GAP if self._incumbent_g is None else FEW_GAP),
            start=warm_start,
            progress=None if self.told is None else self.told.found,
            change=self.change,
            target_g=self._target_g,
        )
        self.interrupted = solution.interrupted
        solution = with_bound(solution, self._bound_g)
        over, found = separate(few, solution), Incumbent(few, solution, self.covered)
        driver.met |= over
        if solution.objective_g is not None and self._incumbent_g is None and (over or banks_joined):
            limit_s = self.clock.left_for(solution)
            found, driver.met = fix_and_optimise(driver.listing, few, solution, limit_s, self.change, driver.met)
            found = replace(found, covered=self.covered)
        elif over:
            found = replace(found, solution=with_bound(replace(solution, objective_g=None), self._bound_g))
        self.incumbent = better(found, self.incumbent)
        yield self.incumbent

    @property
    def _bound_g(self) -> float | None:
        """The best bound so far."""
        return max((bound for _, bound in self.bounds), default=None)

    @property
    def _target_g(self) -> float:
        """A solution of so many grams is the best there is."""
        return -inf if self._bound_g is None else self._bound_g + EQUAL_G

    def _learn_bound(self, bound_g: float) -> None:
        self.bounds.append((self.driver.lazy, bound_g))
        if self.told is not None:
            self.told.bound_g = self._bound_g

    def _prunings(self) -> tuple[PruningBound, ...]:
        """What is too heavy for any layout better than the incumbent; nothing while there is none."""
        best = self._incumbent_g
        if best is None or not self.weighed:
            return ()
        return tuple(PruningBound(lazy, max(0.0, best - bound)) for lazy, bound in self.bounds)

    def _from_start(self, option_list: OptionList, start: Layout) -> None:
        """Fix the circuits of a known layout and optimise the rest; no incumbent where it is no longer possible."""
        warm_start = solution_from(option_list, start)
        if warm_start is not None:
            limit_s = self.clock.left_for(warm_start)
            found, self.driver.met = fix_and_optimise(
                self.driver.listing, option_list, warm_start, limit_s, self.change, self.driver.met
            )
            self.incumbent = found if found.solution.objective_g is not None else None

    def _optimised(self, option_list: OptionList) -> Solution:
        """The best solution, and its bound for all that follows."""
        warm_start = self._warm_start(option_list)
        if self.told is not None:
            self.told.begins(None if self.change else lightest_g(option_list), self.incumbent)
        solution = optimise(
            option_list,
            time_limit_s=self.clock.left_for(warm_start),
            gap=self.target.of_a_solve,
            start=warm_start,
            progress=None if self.told is None else self.told.heard,
            change=self.change,
            kept_back_s=self.clock.kept_back_s,
            cutoff_g=self._cutoff_g,
            target_g=self._target_g,
        )
        if solution.status == INFEASIBLE and self._incumbent_g is not None:
            # nothing that was left out is in a better layout
            solution = with_bound(replace(solution, objective_g=None), self._incumbent_g)
        if solution.bound_g is not None:
            self._learn_bound(solution.bound_g)
        # a solve that ends at the bound known before has proven less itself
        return solution if solution.status == INFEASIBLE else with_bound(solution, self._bound_g)

    def _warm_start(self, option_list: OptionList) -> Solution | None:
        if self.incumbent is not None and self.incumbent.solution.objective_g is not None:
            return solution_from(option_list, assemble(self.incumbent.option_list, self.incumbent.solution))
        return None if self.start is None else solution_from(option_list, self.start)

    def _learnt(
        self, option_list: OptionList, solution: Solution, over: LazyRows, banks_joined: bool
    ) -> Iterator[Incumbent]:
        """The incumbent with a solution; where that is no layout yet, first its bound, then fix and optimise."""
        if solution.objective_g is None or not (over or banks_joined):
            self.incumbent = better(Incumbent(option_list, solution, self.covered), self.incumbent)
            yield self.incumbent
            return
        bound = with_bound(replace(solution, objective_g=None), solution.bound_g)
        self.incumbent = better(Incumbent(option_list, bound, self.covered), self.incumbent)
        yield self.incumbent
        driver = self.driver
        driver.met |= driver.lazy | over
        circuits = frozenset(pairs_of(option_list, solution))
        if not self._done and (circuits, driver.met) != self.asked:
            limit_s = self.clock.left_for(solution)
            found, driver.met = fix_and_optimise(
                driver.listing, option_list, solution, limit_s, self.change, driver.met
            )
            self.asked = (circuits, driver.met)
            self.incumbent = better(replace(found, covered=self.covered), self.incumbent)
            yield self.incumbent


class _Told:
    """Passes progress on with the incumbent and the best bound of the whole search.

    What a solve finds on the way is the best layout only where it ``is_layout``.
    """

    def __init__(self, progress: Callable[[Progress], None], clock: Clock, is_layout: bool):
        self.progress, self.clock, self.is_layout = progress, clock, is_layout
        self.incumbent: Incumbent | None = None
        self.bound_g: float | None = None

    def begins(self, bound_g: float | None, incumbent: Incumbent | None) -> None:
        """Report what is known before a solve: at least the bound by the lightest circuit of each load."""
        self.incumbent = incumbent
        self.heard(Progress(None, bound_g, None, 0.0))

    def found(self, now: Progress) -> None:
        """Report on a solve whose bound does not hold for the whole search."""
        self.heard(replace(now, bound_g=None))

    def heard(self, now: Progress) -> None:
        """Report on a solve."""
        solution = None if self.incumbent is None else self.incumbent.solution
        bounds = [self.bound_g, now.bound_g, None if solution is None else solution.bound_g]
        self.bound_g = max((bound for bound in bounds if bound is not None), default=None)
        known = [None if solution is None else solution.objective_g, now.best_g if self.is_layout else None]
        best = min((grams for grams in known if grams is not None), default=None)
        gap = (best - self.bound_g) / abs(best) if best and self.bound_g is not None else None
        self.progress(Progress(best, self.bound_g, gap, self.clock.seconds))
