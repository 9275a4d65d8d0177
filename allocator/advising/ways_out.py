"""Ways out where no layout is possible: different kinds of change, each tried by solving the changed problem."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from allocator.advising.changed_units import sealed
from allocator.advising.changed_words import all_sizes, free_of_unit, unpinned
from allocator.advising.changes import Change, applied, in_words
from allocator.advising.crowded import less_crowded
from allocator.advising.crowds import priced_alone
from allocator.advising.feeding import chains
from allocator.advising.knobs import Relief, turned
from allocator.advising.mending import mended
from allocator.advising.reliefs_ratings import OUTPUTS, RATINGS, SPARES
from allocator.advising.reliefs_sites import FEEDS, MORE_UNITS, NOT_ALWAYS, PLACES, SITES
from allocator.advising.reliefs_words import CONTACTS, FUNCTIONS, TOGETHER
from allocator.advising.stopwatch import Stopwatch
from allocator.clock import TimeUpError
from allocator.layout import FEASIBLE, OPTIMAL
from allocator.problem import Problem, ProblemError
from allocator.solving import solve

ANY_LAYOUT = 1.0
"""A gap that any layout meets: a way out is tried for whether there is one, not for the best."""


@dataclass(frozen=True, slots=True)
class WayOut:
    """Changes with which a layout is possible. ``verified``: the changed problem was solved, its layout checked."""

    sentence: str
    changes: tuple[Change, ...]
    verified: bool

    def apply(self, problem: Problem) -> Problem:
        """The problem with the changes made."""
        return applied(problem, self.changes)


def ways_out(
    problem: Problem, most: int, watch: Stopwatch, lacking: Collection[str] = ()
) -> tuple[tuple[WayOut, ...], bool]:
    """At most so many ways out, and whether all kinds of change were tried or that many found within the time.

    Kinds of change that help where one of the ``lacking`` kinds of limit is passed are tried first.
    """
    found: list[WayOut] = []
    tried: set[frozenset[object]] = set()
    enough: list[frozenset[object]] = []
    try:
        for changes in _proposed(problem, watch, lacking):
            key = frozenset((c.table, c.row, c.field, c.after) for c in changes)
            if not changes or key in tried or any(better <= key for better in enough):
                continue
            tried.add(key)
            watch.tell(f"trying: {in_words(changes)}")
            if possible(problem, changes, watch):
                found.append(WayOut(in_words(changes), changes, True))
                enough.append(key)
                if len(found) == most:
                    break
    except TimeUpError:
        return tuple(found), False
    return tuple(found), len(found) == most or not watch.undecided


def possible(problem: Problem, changes: tuple[Change, ...], watch: Stopwatch) -> bool:
    """Whether the changed problem has a layout, and one that the check finds clean."""
    try:
        layout = solve(applied(problem, changes), gap=ANY_LAYOUT, time_limit_s=watch.left_s)
    except ProblemError:
        return False
    return layout.status in (OPTIMAL, FEASIBLE)


def _proposed(problem: Problem, watch: Stopwatch, lacking: Collection[str]) -> Iterator[tuple[Change, ...]]:
    """Changes that may let a layout be made, one kind after another, those that cost least to make first."""
    pricing = priced_alone(problem)
    bases = list(mended(problem)) if pricing.faults else [()]
    for base in bases:
        changed = applied(problem, base)
        hungry = bool(priced_alone(changed).unfed)
        if base and not hungry:
            yield base
        if hungry:
            for fed in _all_fed(changed, watch):
                yield (*base, *fed)
                yield from _with((*base, *fed), applied(changed, fed), EVERYTHING, watch)
        if "bundle" in lacking:
            for less in less_crowded(changed):
                yield (*base, *less)
        kinds = sorted(KINDS, key=lambda kind: not {*lacking} & HELPS[kind[0].name])
        for kind in kinds:
            yield from _with(base, changed, kind, watch)
        for more in (_unpinned(changed, watch), _sealed(changed), _shelf(changed)):
            if more:
                yield (*base, *more)
        for kind in (EVERYTHING, (*EVERYTHING, MORE_UNITS)):
            yield from _with(base, changed, kind, watch)


def _with(
    base: tuple[Change, ...], changed: Problem, kind: tuple[Relief, ...], watch: Stopwatch
) -> Iterator[tuple[Change, ...]]:
    more = turned(changed, kind, watch)
    if more:
        yield (*base, *more)


KINDS: tuple[tuple[Relief, ...], ...] = (
    (SPARES,),
    (TOGETHER,),
    (CONTACTS,),
    (SITES,),
    (MORE_UNITS,),
    (RATINGS,),
    (FEEDS,),
    (OUTPUTS,),
    (PLACES,),
    (NOT_ALWAYS,),
    (FUNCTIONS,),
)
HELPS = {
    "spares": {"unit", "outputs", "spare", "feed", "start"},
    "together": {"unit", "bank", "outputs", "feed"},
    "contacts": {"contacts", "studs"},
    "sites": {"site", "always", "studs", "feed", "survive"},
    "units": {"unit", "bank", "outputs", "feed", "survive"},
    "ratings": {"unit", "bank"},
    "feeds": {"feed", "start"},
    "outputs": {"outputs"},
    "places": {"site", "always", "studs", "feed", "survive"},
    "fit": {"site", "always", "studs"},
    "functions": {"survive"},
}
"""Limits (the first of their keys) that a kind of change widens or keeps clear of."""

EVERYTHING = (SPARES, TOGETHER, CONTACTS, RATINGS, OUTPUTS, FEEDS, NOT_ALWAYS, FUNCTIONS)
"""Where no kind of change alone is enough."""

TRIED = 3
"""Ways in which loads that nothing can feed are given an option."""


def _all_fed(problem: Problem, watch: Stopwatch) -> Iterator[tuple[Change, ...]]:
    """Changes after which every load has an option: the first, second and third choice for each that has none."""
    for choice in range(TRIED):
        changes: tuple[Change, ...] = ()
        pricing = priced_alone(problem)
        more = False
        while lacking := pricing.unfed:
            _ = watch.left_s
            changed = applied(problem, changes)
            found = sorted(_first(chains(changed, pricing, lacking[0]), MOST_CHAINS), key=len)
            if not found:
                return
            more = more or len(found) > choice
            changes = (*changes, *found[min(choice, len(found) - 1)])
            pricing = priced_alone(applied(problem, changes))
        if choice and not more:
            return
        yield changes


MOST_CHAINS = 8


def _first(every: Iterator[tuple[Change, ...]], most: int) -> list[tuple[Change, ...]]:
    return [chain for _, chain in zip(range(most), every, strict=False)]


def _unpinned(problem: Problem, watch: Stopwatch) -> tuple[Change, ...]:
    """The fewest pins found that have to be taken off; none where taking all of them off does not help."""
    pinned = [load.name for load in problem.loads if load.unit is not None]
    everything = tuple(free_of_unit(problem, name) for name in pinned)
    if not pinned or not possible(problem, everything, watch):
        return ()
    outputs = [name for name in pinned if problem.load[name].output is not None]
    singles = [(unpinned(problem, name),) for name in outputs] + [(change,) for change in everything]
    for single in singles:
        if possible(problem, single, watch):
            return single
    kept = everything
    for change in everything:
        fewer = tuple(other for other in kept if other is not change)
        if possible(problem, fewer, watch):
            kept = fewer
    return kept


def _shelf(problem: Problem) -> tuple[Change, ...]:
    """Wire of every size, where only some sizes may be used."""
    return (all_sizes(problem),) if problem.wire_rules.sizes else ()


def _sealed(problem: Problem) -> tuple[Change, ...]:
    """Sealed types for units whose sites are wet."""
    wet = {
        unit.type
        for unit in problem.units
        if any(problem.place[site].wet for site in unit.sites) and not problem.unit_type[unit.type].sealed
    }
    return tuple(sealed(problem.unit_type[name]) for name in sorted(wet))
