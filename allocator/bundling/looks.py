"""Layouts to beat: a known one or a first one, improved by turns, and the wires of circuits made good."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace

from allocator.bundling.standing import Standing
from allocator.checking.bundles import bundles
from allocator.choosing import Choice, build, choose, pairs_of
from allocator.choosing.fullness import assumed, counted, laid, narrowed, worthwhile
from allocator.layout import Layout
from allocator.pricing import Crowd, Option, Pricing, price
from allocator.problem import Problem
from allocator.search import Found, completing, too_loaded
from allocator.starting import choice_from

ROUGH = 0.02
"""Gap at which a solve stops that only has to show what is overfull."""

FAIR = 0.003
"""Gap at which wires that are chosen anew for known circuits are good enough."""

LOOKS = 4
"""How often a first layout is improved before the search proper."""

Raised = Mapping[int, float]
"""Columns that rose, by segment."""


class Looks:
    """Finds layouts for a search and leaves the best of them in its standing; proves nothing."""

    def __init__(self, problem: Problem, alone: Pricing, crowd: Crowd, standing: Standing):
        self.problem = problem
        self.alone = alone
        self.crowd = crowd
        self.standing = standing

    def known(self, start: Layout) -> frozenset[int] | None:
        """The slots of a known layout, once its circuits have been made good.

        First for as many wires as it has in each segment, which gives nothing heavier; then, while there is time, anew.
        """
        begin = choice_from(self.alone, start)
        if begin is None:
            return None
        full = Counter({bundle.segment: bundle.wires for bundle in bundles(self.problem, start)})
        self.made_good(self.alone, begin, full)
        if self.standing.best is None or not self.standing.stopped:
            self.made_good(self.alone, begin, self.crowd)
        return frozenset(begin.slots)

    def first(self, sites: frozenset[int]) -> None:
        """A layout at sites as if each wire lay alone, its wires then made good: what all else has to beat."""
        pricing = price(self.problem, relaxed=True, held=sites, crowd=replace(self.crowd, watched={}))
        choice = self._chosen(pricing, ROUGH)
        crowd = narrowed(self.crowd, build(pricing), float("inf"))
        if choice.objective_g is not None and crowd is not None:
            self.made_good(pricing, choice, crowd)
            self._improved(sites, crowd)

    def _improved(self, sites: frozenset[int], crowd: Crowd) -> None:
        """Circuits anew for as many wires as the best known has in each segment, then their wires; while that helps."""
        for _ in range(LOOKS):
            best = self.standing.best
            if best is None or self.standing.stopped:
                return
            full = counted(laid(best.pricing, best.choice))
            pricing = price(self.problem, relaxed=True, held=sites, crowd=assumed(self.crowd, full))
            choice = self._chosen(pricing, FAIR)
            enough_g = self.standing.best_g * (1.0 - FAIR)
            if choice.objective_g is None or choice.objective_g >= enough_g:
                return
            self.made_good(pricing, choice, crowd)
            if self.standing.best_g >= enough_g:
                return

    def _chosen(self, pricing: Pricing, gap: float) -> Choice:
        choice = choose(
            pricing,
            time_limit_s=self.standing.clock.left_s,
            gap=max(gap, self.standing.gap),
            start=self.best_in(pricing),
            progress=self.standing.heard,
        )
        self.standing.interrupted |= choice.interrupted
        return choice

    def best_in(self, pricing: Pricing) -> Choice | None:
        """The best known as a choice among what is listed; None where it is not listed."""
        if self.standing.best is None:
            return None
        known, choice = self.standing.best.pricing, self.standing.best.choice
        places = {_identity(option): option.index for option in pricing.options}
        counts = [(places.get(_identity(known.options[o])), n) for o, n in choice.options]
        if any(o is None for o, _ in counts):
            return None
        return replace(choice, options=tuple((o, n) for o, n in counts if o is not None))

    def made_good(self, pricing: Pricing, choice: Choice, room: Crowd | Counter[int]) -> Raised:
        """Keep the same circuits at the same sites, and make their wires good.

        Where the room is a number of wires for each segment, all are sized for that; in a crowd they are chosen anew,
        bands and all. Returned are the columns of segments that had to be raised for these wires; empty where none
        had to.
        """
        with completing(self.standing.interrupted):
            return self._made_good(pricing, choice, room)

    def _made_good(self, pricing: Pricing, choice: Choice, room: Crowd | Counter[int]) -> Raised:
        assert pricing.crowd is not None
        pairs, held = pairs_of(pricing, choice), frozenset(choice.slots)
        anew = isinstance(room, Crowd)
        crowd = replace(room if isinstance(room, Crowd) else assumed(pricing.crowd, room), watched=None)
        raised: dict[int, float] = {}
        while True:
            sized = price(self.problem, only=pairs, held=held, crowd=crowd)
            if anew:
                closer = narrowed(crowd, build(sized), self.standing.best_g)
                fewer = None
                if closer is not None:
                    listed = price(self.problem, only=pairs, held=held, crowd=closer)
                    fewer = worthwhile(build(listed), self.standing.best_g)
                if fewer is None:
                    return raised
                sized = fewer
            found = choose(
                sized,
                time_limit_s=self.standing.clock.left_for(choice),
                gap=FAIR if anew else 0.0,
                enough_g=self.standing.best_g,
            )
            self.standing.interrupted |= found.interrupted
            if found.objective_g is None or found.objective_g >= self.standing.best_g:
                return raised
            more = too_loaded(self.problem, sized, found)
            if not more:
                self.standing.best = Found(sized, found, self.alone)
                return raised
            higher = {e: column for e, column in more.items() if column > crowd.column(e)}
            raised.update(higher)
            if found.interrupted or not higher:
                return raised
            crowd = replace(crowd, raised={**crowd.raised, **more})


def _identity(option: Option) -> object:
    return option.candidate.members, option.slot, option.takes, option.classes, option.plan.key
