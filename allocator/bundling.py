"""Bundles: site by site, wires that the bundle they lie in asks too much of are told apart, until there are none."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from math import inf

from allocator.choosing import NOTHING_FOUND, Choice, Model, Progress, build, choose, held_against, pairs_of
from allocator.choosing.choose import EQUAL_G, INFEASIBLE
from allocator.choosing.fullness import (
    Watched,
    assumed,
    counted,
    laid,
    narrowed,
    overfull,
    spread_out,
    told_apart,
    worthwhile,
)
from allocator.choosing.sites import best_sites
from allocator.layout import Layout
from allocator.pricing import Crowd, Option, Pricing, price, relaxation
from allocator.problem import Problem
from allocator.search import Clock, Found, too_loaded
from allocator.starting import choice_from

ROUGH = 0.02
"""Gap at which a solve stops that only has to show what is overfull."""

FAIR = 0.003
"""Gap at which wires that are chosen anew for known circuits are good enough."""

NUMBERS = 6
"""How many numbers of wires a segment is watched at from the beginning."""

LOOKS = 4
"""How often a first layout is improved before the search proper."""

FEW = 4000
"""How many options are few enough to tell wires apart by every number of others that they bear."""

MANY = 8000
"""With more options than this, what segments hold is narrowed just once."""

ROUNDS, SHRUNK = 4, 0.9
"""How often what segments hold is narrowed at the most; not once more where it shrank by less than to this share."""

Raised = Mapping[int, float]


def bundled(
    problem: Problem, clock: Clock, gap: float, start: Layout | None, progress: Callable[[Progress], None] | None
) -> Found:
    """The best choice where bundles count.

    A wire bears so many others and no more, and how many lie beside it is decided with it. To list every wire for
    every number would be exact and far too much. So at first wires are sized as if each lay alone, which is a bound;
    where a choice puts more wires into a segment than one of them bears, that number is watched from then on: a
    wire that bears no more than it is told apart, and may be taken only where the segment holds no more. A choice
    in which nothing is overfull is the best there is. This is done for one set of sites after another, the most
    promising first, until no set is left whose bound lies below the best layout known: what it weighs tells how
    many wires each segment may hold in anything better, and so how few numbers matter. Where the wires of such a
    choice load a segment more than the column of its factors says, and one of them does not bear that, the segment
    goes to the column that serves and the search goes on; as another layout might load it less, the bound stays
    that of the stated column.
    """
    return _Search(problem, clock, gap, progress).run(start)


class _Search:
    """The best choice so far and what is proven, over sets of sites."""

    def __init__(self, problem: Problem, clock: Clock, gap: float, progress: Callable[[Progress], None] | None):
        self.problem = problem
        self.clock = clock
        self.gap = gap
        self.listener = progress
        self.interrupted = False
        self.best: Found | None = None
        self.bound_g = -inf
        self.raised: dict[int, float] = {}
        self.alone = price(problem, relaxed=True, watched={})
        assert self.alone.crowd is not None
        self.crowd = self.alone.crowd

    @property
    def best_g(self) -> float:
        """Objective of the best choice; infinite while there is none."""
        return inf if self.best is None or self.best.choice.objective_g is None else self.best.choice.objective_g

    @property
    def enough_g(self) -> float:
        """Bound at which a set of sites has nothing more to offer."""
        return self.best_g - max(EQUAL_G, self.gap * abs(self.best_g)) if self.best is not None else inf

    @property
    def stopped(self) -> bool:
        """Whether a limit or an interrupt has ended the search."""
        return self.interrupted or self.clock.left_s == 0.0

    def run(self, start: Layout | None) -> Found:
        """Set after set of sites, until all that is left is bounded by the best known."""
        if self.alone.faults:
            return Found(self.alone, Choice(status=INFEASIBLE), self.alone)
        model = build(self.alone)
        tried: list[frozenset[int]] = []
        open_g: list[float] = []
        first = None if start is None else self._known(start)
        least_g = -inf
        for sites, bound_g in self._sites(model, tried, first):
            # what holds for all sets but some still holds for all but more of them
            least_g = max(least_g, bound_g)
            self.bound_g = min([least_g, *open_g])
            if least_g >= self.enough_g or sites is None:
                break
            self._look(sites)
            settled_g = self._settled(sites)
            open_g += [settled_g] if settled_g < self.enough_g else []
            tried.append(sites)
            if self.stopped:
                break
        return self._proven(min([self.bound_g, *open_g], default=inf))

    def _proven(self, bound_g: float) -> Found:
        covered = replace(self.alone, cut_short=(*self.alone.cut_short, *self._columns()))
        if self.best is None:
            status = INFEASIBLE if bound_g == inf else NOTHING_FOUND
            known = None if bound_g in (inf, -inf) else bound_g
            return Found(self.alone, Choice(status=status, bound_g=known, interrupted=self.interrupted), covered)
        choice = held_against(self.best.choice, None if bound_g == -inf else min(bound_g, self.best_g))
        return replace(self.best, choice=replace(choice, interrupted=self.interrupted), covered=covered)

    def _columns(self) -> tuple[str, ...]:
        """A sentence on columns that were raised; none where none was."""
        if not self.raised:
            return ()
        names = [f"{self.problem.segments[e].name} to {100.0 * column:.0f} %" for e, column in self.raised.items()]
        shown = ", ".join(sorted(names)[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
        return (
            f"Loading columns of segments that were loaded more than the stated one were raised: {shown}. Layouts that "
            "load them less were not looked for, so the gap stays open; a higher bundle_loading would close it.",
        )

    def _sites(
        self, model: Model, tried: list[frozenset[int]], first: frozenset[int] | None
    ) -> Iterator[tuple[frozenset[int] | None, float]]:
        if first is not None:
            yield first, -inf
        while True:
            sites = best_sites(model, tried, self.clock.left_s)
            self.interrupted = self.interrupted or sites.interrupted
            yield sites.slots, sites.bound_g

    def _known(self, start: Layout) -> frozenset[int] | None:
        """The slots of a known layout, once its circuits have been made good."""
        begin = choice_from(self.alone, start)
        if begin is not None:
            self._repaired(self.alone, begin, self.crowd)
        return None if begin is None else frozenset(begin.slots)

    def _look(self, sites: frozenset[int]) -> None:
        """A layout at sites as if each wire lay alone, its wires then made good: what all else has to beat."""
        if self.best is not None:
            return
        seen = replace(self.crowd, watched={})
        pricing = price(self.problem, relaxed=True, held=sites, crowd=seen)
        choice = choose(pricing, time_limit_s=self.clock.left_s, gap=max(ROUGH, self.gap), progress=self._heard)
        self.interrupted = self.interrupted or choice.interrupted
        crowd = narrowed(self.crowd, build(pricing), inf)
        if choice.objective_g is not None and crowd is not None:
            self._repaired(pricing, choice, crowd)
            self._improved(sites, crowd)

    def _improved(self, sites: frozenset[int], crowd: Crowd) -> None:
        """Circuits anew for as many wires as the best known has in each segment, then their wires; while that helps."""
        for _ in range(LOOKS):
            if self.best is None or self.stopped:
                return
            full = counted(laid(self.best.pricing, self.best.choice))
            pricing = price(self.problem, relaxed=True, held=sites, crowd=assumed(self.crowd, full))
            choice = choose(
                pricing,
                time_limit_s=self.clock.left_s,
                gap=max(FAIR, self.gap),
                start=self._known_here(pricing),
                progress=self._heard,
            )
            self.interrupted = self.interrupted or choice.interrupted
            before_g = self.best_g
            if choice.objective_g is None or choice.objective_g >= before_g * (1.0 - FAIR):
                return
            self._repaired(pricing, choice, crowd)
            if self.best_g >= before_g * (1.0 - FAIR):
                return

    def _settled(self, sites: frozenset[int]) -> float:
        """A bound on all layouts at these sites, after looking for the best of them.

        Where much is listed the first look is rough: what it finds narrows what a second one has to look at.
        """
        bound_g = -inf
        for relaxed in (True, False) if relaxation(self.problem) is not self.problem else (False,):
            crowd: Crowd | None = self.crowd
            for rough in (max(ROUGH, self.gap), self.gap):
                crowd = None if crowd is None else self._close(sites, relaxed, crowd)
                bound_g = self.best_g if crowd is None else max(bound_g, self._refined(sites, relaxed, crowd, rough))
                if bound_g >= self.enough_g or self.stopped:
                    return bound_g
        return bound_g

    def _close(self, sites: frozenset[int], relaxed: bool, crowd: Crowd) -> Crowd | None:
        """How many wires each segment holds in whatever beats the best known at these sites; None: nothing does."""
        watched = spread_out(crowd, NUMBERS) if crowd is not self.crowd else {}
        width = _width(crowd)
        for _ in range(ROUNDS):
            if self.stopped:
                break
            seen = replace(told_apart(crowd), watched=watched)
            pricing = price(self.problem, relaxed=relaxed, held=sites, crowd=seen)
            if watched and len(pricing.options) > MANY:
                break
            closer = narrowed(crowd, build(pricing), self.best_g)
            if closer is None:
                return None
            before, width = width, _width(closer)
            done = bool(watched) and width > SHRUNK * before
            crowd, watched = closer, spread_out(closer, NUMBERS)
            if done:
                break
        return crowd

    def _refined(self, sites: frozenset[int], relaxed: bool, crowd: Crowd, rough: float) -> float:
        """Solve, watch what is overfull, solve again, until nothing is or the bound is enough."""
        watched: Watched | None = spread_out(crowd, NUMBERS)
        raised: Raised = {}
        bound_g = -inf
        while True:
            seen = replace(crowd, watched=watched, raised=raised)
            listed = price(self.problem, relaxed=relaxed, held=sites, crowd=seen)
            if watched is not None and len(listed.options) <= FEW:
                watched = None
                continue
            pricing = worthwhile(build(listed), self.best_g)
            if pricing is None:
                return bound_g if raised else self.best_g
            choice = choose(
                pricing,
                time_limit_s=self.clock.left_s,
                gap=self.gap if watched is None else rough,
                start=self._known_here(pricing),
                progress=self._heard,
                enough_g=self.enough_g,
            )
            self.interrupted = self.interrupted or choice.interrupted
            if choice.status == INFEASIBLE:
                return bound_g if raised else self.best_g
            if not raised:
                bound_g = max(bound_g, -inf if choice.bound_g is None else min(choice.bound_g, self.best_g))
            if choice.objective_g is None:
                return bound_g
            wires = list(laid(pricing, choice))
            over = overfull(seen, wires, counted(wires))
            more = self._repaired(pricing, choice, seen if over else None)
            if bound_g >= self.enough_g or self.stopped:
                return bound_g
            if over and watched is not None:
                watched = _joined(watched, over)
            elif more and not over:
                raised = {**raised, **more}
                self.raised.update(more)
            else:
                return bound_g

    def _known_here(self, pricing: Pricing) -> Choice | None:
        """The best known as a choice among what is listed; None where it is not listed."""
        if self.best is None:
            return None
        known, choice = self.best.pricing, self.best.choice
        places = {_identity(option): option.index for option in pricing.options}
        counts = [(places.get(_identity(known.options[o])), n) for o, n in choice.options]
        if any(o is None for o, _ in counts):
            return None
        return replace(choice, options=tuple((o, n) for o, n in counts if o is not None))

    def _repaired(self, pricing: Pricing, choice: Choice, crowd: Crowd | None) -> Raised:
        """Keep the same circuits at the same sites, and make their wires good.

        Without a crowd: as many wires in each segment as the choice puts there, all sized for that; else the wires
        are chosen anew within it, bands and all. Returned are the columns of segments that had to be raised for these
        wires; empty where none had to.
        """
        assert pricing.crowd is not None
        pairs, held = pairs_of(pricing, choice), frozenset(choice.slots)
        exactly = crowd is None
        if crowd is None:
            crowd = assumed(pricing.crowd, counted(laid(pricing, choice)))
        crowd = replace(crowd, watched=None)
        raised: dict[int, float] = {}
        while True:
            sized = price(self.problem, only=pairs, held=held, crowd=crowd)
            if not exactly:
                closer = narrowed(crowd, build(sized), self.best_g)
                fewer = None
                if closer is not None:
                    fewer = worthwhile(build(price(self.problem, only=pairs, held=held, crowd=closer)), self.best_g)
                if fewer is None:
                    return raised
                sized = fewer
            found = choose(
                sized, time_limit_s=self.clock.left_for(choice), gap=0.0 if exactly else FAIR, enough_g=self.best_g
            )
            if found.objective_g is None or found.objective_g >= self.best_g:
                return raised
            more = too_loaded(self.problem, sized, found)
            if not more:
                self.best = Found(sized, found, self.alone)
                return raised
            raised.update(more)
            crowd = replace(crowd, raised={**crowd.raised, **more})

    def _heard(self, _solver: Progress) -> None:
        if self.listener is not None:
            best = None if self.best is None else self.best_g
            bound = None if self.bound_g == -inf else min(self.bound_g, self.best_g)
            gap = (best - bound) / abs(best) if best and bound is not None else None
            self.listener(Progress(best, bound, gap, self.clock.seconds))


def _identity(option: Option) -> object:
    return option.candidate.members, option.slot, option.takes, option.classes, option.plan.key


def _width(crowd: Crowd) -> int:
    return sum(most - crowd.least[e] for e, most in crowd.most.items())


def _joined(watched: Watched, over: Mapping[int, set[int]]) -> Watched:
    return {e: tuple(sorted({*watched.get(e, ()), *over.get(e, ())})) for e in sorted({*watched, *over})}
