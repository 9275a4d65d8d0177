"""The order of solves in every search: relaxation, circuits made good, the whole model, rows on bundles as needed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from math import inf

from allocator.assembling import assemble
from allocator.choosing import Choice, Model, Progress, choose, held_against, pairs_of
from allocator.choosing.choose import EQUAL_G
from allocator.choosing.fixing import Dear, Fixed, fixed
from allocator.choosing.objective import lightest_g
from allocator.choosing.passed import passed
from allocator.layout import INFEASIBLE, Layout
from allocator.pricing import Cutoff, Pricing, Watch, price, relaxation
from allocator.problem import Problem
from allocator.search import Clock, Found, better, made_good
from allocator.starting import choice_from

FIRST, MANY, FEW = 1500, 3000, 700
"""Options from which on a layout of those of least reduced cost is looked for before all are solved: while no layout is
known, and once one is. How many these are."""

FEW_GAP = 0.001
"""The gap at which that ends."""


@dataclass(frozen=True, slots=True)
class Target:
    """The gap at which to stop, as a share of what the objective comes to above (or below) some grams."""

    gap: float = 0.0
    above_g: float = 0.0

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


class Driver:
    """Searches of one problem; what one had to watch, the next one watches from the start.

    ``watch``: the segments on whose bundles there are rows. ``met``: all that any layout on the way had to watch, for
    making good.
    """

    def __init__(self, problem: Problem, clock: Clock):
        self.problem, self.clock = problem, clock
        self.watch, self.met = Watch(), Watch()
        self.levels = (True, False) if relaxation(problem) is not problem else (False,)
        self._listed: dict[bool, Pricing] = {}

    def listed(self, *, relaxed: bool, cutoffs: tuple[Cutoff, ...] = ()) -> Pricing:
        """The problem or its relaxation with what is watched, listed once for as many searches as it serves."""
        if cutoffs:
            return price(self.problem, relaxed=relaxed, watch=self.watch, cutoffs=cutoffs)
        if relaxed not in self._listed or self._listed[relaxed].watch != self.watch:
            self._listed[relaxed] = price(self.problem, relaxed=relaxed, watch=self.watch)
        return self._listed[relaxed]

    @property
    def cut_short(self) -> tuple[str, ...]:
        """What was not listed in full, of what was listed first."""
        return next((pricing.cut_short for pricing in self._listed.values()), ())

    def found(
        self,
        *,
        target: Target = Target(),
        start: Layout | None = None,
        progress: Callable[[Progress], None] | None = None,
        change: Callable[[Model], Model] | None = None,
    ) -> Iterator[Found]:
        """What is known, more and more.

        The relaxation is solved before the whole model, and each as if every wire lay alone but in the segments that
        are watched. Where a choice makes a bundle too warm, its segment is watched from then on: heavier wires and ways
        round are listed there, and rows hold its heat. The circuits of each choice are made good, for a layout early.
        Every bound on the way holds for all layouts.

        ``change`` may add rows and put another objective in place of the weights. Nothing is cut off by weight then.
        """
        return _Search(self, target, start, progress, change).found()


class _Search:
    """One search of a driver."""

    def __init__(
        self,
        driver: Driver,
        target: Target,
        start: Layout | None,
        progress: Callable[[Progress], None] | None,
        change: Callable[[Model], Model] | None,
    ):
        self.driver, self.clock, self.target, self.start, self.change = driver, driver.clock, target, start, change
        self.told = None if progress is None else _Told(progress, driver.clock)
        self.known: Found | None = None
        self.bounds: list[tuple[Watch, float]] = []
        self.dear: tuple[Dear, ...] = ()
        self.left: Fixed | None = None
        self.asked: object = None

    def found(self) -> Iterator[Found]:
        """What is known, more and more."""
        for relaxed in self.driver.levels:
            over: Watch | None = None
            while over is None or over:
                if over:
                    # with the bound of what is simple at hand, little has to be listed for the rest
                    self.driver.watch |= over.simplest
                pricing = self._listed(relaxed)
                if self.left is not None and len(pricing.options) > (MANY if self.known else FIRST):
                    yield from self._among_few(self.left, relaxed)
                    if self._done:
                        return
                    pricing = self._listed(relaxed)
                choice = self._chosen(pricing)
                over = passed(pricing, choice)
                yield from self._learnt(pricing, choice, over, relaxed)
                stopped = choice.interrupted or choice.objective_g is None or self.clock.left_s == 0.0
                if stopped or self._done:
                    return

    @property
    def _known_g(self) -> float | None:
        return None if self.known is None else self.known.choice.objective_g

    @property
    def _done(self) -> bool:
        return self.known is not None and self.target.met_by(self.known.choice)

    def _listed(self, relaxed: bool) -> Pricing:
        """What there is to choose from, without what stands in nothing better than what is known."""
        pricing = self.driver.listed(relaxed=relaxed, cutoffs=self._cutoffs())
        if self.known is None and self.start is not None:
            self._begin_from(pricing, self.start)
        if self.change is None and (self._known_g is not None or len(pricing.options) > FIRST):
            self.left = fixed(pricing, inf if self._known_g is None else self._known_g, self.dear)
            self.dear = self.left.dear
            return self.left.pricing
        return pricing

    def _among_few(self, left: Fixed, relaxed: bool) -> Iterator[Found]:
        """A better layout of the options of least reduced cost; what is proven of them is not proven of all."""
        driver = self.driver
        if relaxed and self._known_g is not None:
            left = fixed(driver.listed(relaxed=False, cutoffs=self._cutoffs()), self._known_g, self.dear)
        few = left.cheapest(FEW)
        begin = self._begin(few)
        limit_s = self.clock.left_for(begin)
        choice = choose(few, time_limit_s=limit_s, gap=FEW_GAP, start=begin, target_g=self._best_bound_g + EQUAL_G)
        choice = held_against(choice, None)
        if choice.objective_g is None:
            return
        over, found = passed(few, choice), Found(few, choice, few)
        driver.met |= over
        if self._known_g is None and (over or relaxed):
            found, driver.met = made_good(driver.problem, few, choice, self.clock.left_for(choice), watch=driver.met)
        elif over:
            return
        self.known = better(found, self.known)
        yield self.known

    @property
    def _best_bound_g(self) -> float:
        return max((bound for _, bound in self.bounds), default=-inf)

    def _cutoffs(self) -> tuple[Cutoff, ...]:
        """What is too heavy for anything better than what is known; nothing where nothing is."""
        best = self._known_g
        if best is None or self.change is not None:
            return ()
        return tuple(Cutoff(watch, max(0.0, best - bound)) for watch, bound in self.bounds)

    def _begin_from(self, pricing: Pricing, start: Layout) -> None:
        """Make the circuits of a known layout good; nothing is known where it is no longer possible."""
        begin = choice_from(pricing, start)
        if begin is not None:
            limit_s = self.clock.left_for(begin)
            found, self.driver.met = made_good(
                self.driver.problem, pricing, begin, limit_s, self.change, self.driver.met
            )
            self.known = found if found.choice.objective_g is not None else None

    def _chosen(self, pricing: Pricing) -> Choice:
        """The best choice, and its bound for all that follows."""
        begin = self._begin(pricing)
        if self.told is not None:
            self.told.begun(pricing, self.known)
        best = self._known_g
        choice = choose(
            pricing,
            time_limit_s=self.clock.left_for(begin),
            gap=self.target.of_a_solve,
            start=begin,
            progress=None if self.told is None else self.told.heard,
            change=self.change,
            kept_back_s=self.clock.kept_back_s,
            enough_g=inf if best is None else best,
            target_g=self._best_bound_g + EQUAL_G,
        )
        if choice.status == INFEASIBLE and best is not None and self.change is None:
            # all that was left out stands in nothing better
            choice = held_against(replace(choice, objective_g=None), best)
        if choice.bound_g is not None:
            self.bounds.append((self.driver.watch, choice.bound_g))
        return choice

    def _begin(self, pricing: Pricing) -> Choice | None:
        if self.known is not None and self.known.choice.objective_g is not None:
            return choice_from(pricing, assemble(self.known.pricing, self.known.choice))
        return None if self.start is None else choice_from(pricing, self.start)

    def _learnt(self, pricing: Pricing, choice: Choice, over: Watch, relaxed: bool) -> Iterator[Found]:
        """What is known with a choice; where it is no layout yet first its bound, then its circuits made good."""
        if choice.objective_g is None or not (over or relaxed):
            self.known = better(Found(pricing, choice, pricing), self.known)
            yield self.known
            return
        bound = held_against(replace(choice, objective_g=None), choice.bound_g)
        self.known = better(Found(pricing, bound, pricing), self.known)
        yield self.known
        driver = self.driver
        driver.met |= driver.watch | over
        circuits = frozenset(pairs_of(pricing, choice))
        if not self._done and (circuits, driver.met) != self.asked:
            limit_s = self.clock.left_for(choice)
            found, driver.met = made_good(driver.problem, pricing, choice, limit_s, self.change, driver.met)
            self.asked = (circuits, driver.met)
            self.known = better(found, self.known)
            yield self.known


class _Told:
    """Passes progress on with the best layout and the best bound that are known anywhere in the search."""

    def __init__(self, progress: Callable[[Progress], None], clock: Clock):
        self.progress, self.clock = progress, clock
        self.known: Found | None = None
        self.bound_g: float | None = None

    def begun(self, pricing: Pricing, known: Found | None) -> None:
        """Tell what is known before a solve: at the least that each load takes its lightest circuit."""
        self.known = known
        self.heard(Progress(None, lightest_g(pricing), None, 0.0))

    def heard(self, now: Progress) -> None:
        """Tell more."""
        choice = None if self.known is None else self.known.choice
        bounds = [self.bound_g, now.bound_g, None if choice is None else choice.bound_g]
        self.bound_g = max((bound for bound in bounds if bound is not None), default=None)
        best = now.best_g if choice is None or choice.objective_g is None else choice.objective_g
        gap = (best - self.bound_g) / abs(best) if best and self.bound_g is not None else None
        self.progress(Progress(best, self.bound_g, gap, self.clock.seconds))
