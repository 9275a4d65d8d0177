"""Sets of sites, the most promising first, each searched for its best layout until nothing lighter is left anywhere."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from math import inf

from allocator.bundling.looks import ROUGH, Looks, Raised
from allocator.bundling.standing import Standing
from allocator.choosing import NOTHING_FOUND, Choice, Progress, build, choose, held_against
from allocator.choosing.choose import EQUAL_G, INFEASIBLE
from allocator.choosing.fullness import (
    Watched,
    counted,
    laid,
    narrowed,
    spread_out,
    told_apart,
    too_full,
    watching_too,
    worthwhile,
)
from allocator.choosing.sites import best_sites
from allocator.clock import TimeUpError
from allocator.layout import Layout
from allocator.pricing import Crowd, price, relaxation
from allocator.problem import Problem
from allocator.search import Clock, Found, columns_raised

NUMBERS = 6
"""How many numbers of wires a segment is watched at from the beginning."""

FEW = 4000
"""How many options are few enough to tell wires apart by every number of others that they bear."""

MANY = 8000
"""With more options than this, what segments hold is narrowed just once."""

ROUNDS, SHRUNK = 4, 0.9
"""How often what segments hold is narrowed at the most; not once more where it shrank by less than to this share."""


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
    """Sets of sites one after another, and what is proven by them."""

    def __init__(self, problem: Problem, clock: Clock, gap: float, progress: Callable[[Progress], None] | None):
        self.problem = problem
        self.standing = Standing(clock, gap, progress)
        self.raised: dict[int, float] = {}
        self.alone = price(problem, relaxed=True, watched={})
        assert self.alone.crowd is not None
        self.crowd = self.alone.crowd
        self.looks = Looks(problem, self.alone, self.crowd, self.standing)

    def run(self, start: Layout | None) -> Found:
        """Set after set of sites, until all that is left is bounded by the best known."""
        if self.alone.faults:
            return Found(self.alone, Choice(status=INFEASIBLE), self.alone)
        try:
            self._search(start)
        except TimeUpError:
            # while pricing or probing, where no solver looks at the clock: what is known by then stands
            pass
        except KeyboardInterrupt:
            self.standing.interrupted = True
        return self._proven(self.standing.bound_g)

    def _search(self, start: Layout | None) -> None:
        standing = self.standing
        tried: list[frozenset[int]] = []
        open_g: list[float] = []
        first = None if start is None else self.looks.known(start)
        least_g = -inf
        for sites, bound_g in self._sites(tried, first):
            # what holds for all sets but some still holds for all but more of them
            least_g = max(least_g, bound_g)
            standing.bound_g = min([least_g, *open_g])
            if least_g >= standing.enough_g or sites is None or standing.interrupted:
                return
            if standing.best is None:
                self.looks.first(sites)
            # at a gap a set may be left below the best known: then no more than that is proven
            settled_g = max(least_g, self._settled(sites))
            open_g += [settled_g] if settled_g < standing.best_g - EQUAL_G else []
            tried.append(sites)
            if standing.stopped:
                return

    def _proven(self, bound_g: float) -> Found:
        standing = self.standing
        open_at_all = bound_g < standing.best_g - EQUAL_G
        columns = columns_raised(self.problem, self.raised) if open_at_all else ()
        covered = replace(self.alone, cut_short=(*self.alone.cut_short, *columns))
        if standing.best is None:
            status = INFEASIBLE if bound_g == inf else NOTHING_FOUND
            known = None if bound_g in (inf, -inf) else bound_g
            return Found(self.alone, Choice(status=status, bound_g=known, interrupted=standing.interrupted), covered)
        choice = held_against(standing.best.choice, None if bound_g == -inf else min(bound_g, standing.best_g))
        return replace(standing.best, choice=replace(choice, interrupted=standing.interrupted), covered=covered)

    def _sites(
        self, tried: list[frozenset[int]], first: frozenset[int] | None
    ) -> Iterator[tuple[frozenset[int] | None, float]]:
        if first is not None:
            yield first, -inf
        model = build(self.alone)
        while True:
            sites = best_sites(model, tried, self.standing.clock.left_s)
            self.standing.interrupted |= sites.interrupted
            yield sites.slots, sites.bound_g

    def _settled(self, sites: frozenset[int]) -> float:
        """A bound on all layouts at these sites, after looking for the best of them.

        Where much is listed the first look is rough: what it finds narrows what a second one has to look at.
        """
        bound_g = -inf
        for relaxed in (True, False) if relaxation(self.problem) is not self.problem else (False,):
            crowd = self.crowd
            for rough in (max(ROUGH, self.standing.gap), self.standing.gap):
                closer = self._close(sites, relaxed, crowd)
                if closer is None:
                    return self.standing.best_g
                if self.standing.stopped:
                    return bound_g
                crowd = closer
                bound_g = max(bound_g, self._refined(sites, relaxed, crowd, rough))
                if bound_g >= self.standing.enough_g or self.standing.stopped:
                    return bound_g
        return bound_g

    def _close(self, sites: frozenset[int], relaxed: bool, crowd: Crowd) -> Crowd | None:
        """How many wires each segment holds in whatever beats the best known at these sites; None: nothing does."""
        watched = spread_out(crowd, NUMBERS) if crowd is not self.crowd else {}
        width = _width(crowd)
        for _ in range(ROUNDS):
            if self.standing.stopped:
                break
            seen = replace(told_apart(crowd), watched=watched)
            pricing = price(self.problem, relaxed=relaxed, held=sites, crowd=seen)
            if watched and len(pricing.options) > MANY:
                break
            closer = narrowed(crowd, build(pricing), self.standing.best_g)
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
            pricing = worthwhile(build(listed), self.standing.best_g)
            if pricing is None:
                return bound_g if raised else self.standing.best_g
            choice = choose(
                pricing,
                time_limit_s=self.standing.clock.left_s,
                gap=self.standing.gap if watched is None else rough,
                start=self.looks.best_in(pricing),
                progress=self.standing.heard,
                enough_g=self.standing.enough_g,
            )
            self.standing.interrupted |= choice.interrupted
            if choice.status == INFEASIBLE:
                return bound_g if raised else self.standing.best_g
            if not raised:
                bound_g = max(bound_g, -inf if choice.bound_g is None else min(choice.bound_g, self.standing.best_g))
            if choice.objective_g is None:
                return bound_g
            over = too_full(pricing, choice)
            more = self.looks.made_good(pricing, choice, seen if over else counted(laid(pricing, choice)))
            if bound_g >= self.standing.enough_g or self.standing.stopped:
                return bound_g
            if over and watched is not None:
                watched = watching_too(watched, over)
            elif more and not over:
                raised = {**raised, **more}
                self.raised.update(more)
            else:
                return bound_g


def _width(crowd: Crowd) -> int:
    return sum(most - crowd.least[e] for e, most in crowd.most.items())
