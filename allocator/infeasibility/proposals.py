"""Changes that may let a layout be made: one kind after another, then several at once."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sized
from itertools import combinations

from allocator.changes.change import ProblemChange, applied
from allocator.changes.of_loads import all_sizes, direct, free_of_unit, may_be_direct, unpinned
from allocator.changes.of_units import sealed
from allocator.infeasibility.cooler_bundles import cooled
from allocator.infeasibility.feeding import chains
from allocator.infeasibility.knobs import Relief, turned
from allocator.infeasibility.knobs_ratings import OUTPUTS, RATINGS, SPARES
from allocator.infeasibility.knobs_sites import FEEDS, MORE_UNITS, NOT_ALWAYS, PLACES, SITES
from allocator.infeasibility.knobs_words import CONTACTS, FUNCTIONS, TOGETHER
from allocator.infeasibility.mended_faults import mended
from allocator.infeasibility.trying import possible
from allocator.model.elastic import Stretch
from allocator.model.limits import KINDS_OF_BUNDLE
from allocator.options import LazyRows, LoadGroup, OptionList, list_options
from allocator.problem import Problem
from allocator.search.stopwatch import Stopwatch

Proposal = tuple[tuple[str, ...], tuple[ProblemChange, ...]]
"""Names of kinds of change, and changes of these kinds; none where no such changes let the model have a layout."""


def proposed(
    problem: Problem, option_list: OptionList, stopwatch: Stopwatch, stretch: Stretch | None, found: Sized
) -> Iterator[Proposal]:
    """Changes that may let a layout be made, one kind after another, those that cost least to make first.

    Where each kind by itself does not help, all at once do in the model if any two of them do; in the problem the least
    of all may not be enough where two are.

    Parameters
    ----------
    problem
        The problem as it was asked.
    option_list
        Its options.
    stopwatch
        The time that is left.
    stretch
        A solution that exceeds limits: kinds that widen these go first. None where none is known.
    found
        What has helped so far, its length read between two proposals: where something has, fewer are made.

    Raises
    ------
    TimeUpError
        When no time is left.
    """
    lacking = {one.limit.kind for one in stretch.shortfalls} if stretch is not None else set()
    lazy = option_list.lazy
    for base in list(mended(problem)) if option_list.faults else [()]:
        changed = applied(problem, base)
        hungry = bool((list_options(changed) if base else option_list).unfed)
        if base and not hungry:
            yield (MENDED,), base
        if hungry:
            for fed in _all_fed(changed, stopwatch):
                yield (OPTIONS,), (*base, *fed)
                yield from _with((*base, *fed), applied(changed, fed), EVERYTHING, stopwatch, lazy)
        if stretch is not None:
            yield from _cooled(base, changed, stretch, found)
        kinds = sorted(KINDS, key=lambda kind: not lacking & HELPS[kind.name])
        for kind in kinds:
            yield from _with(base, changed, (kind,), stopwatch, lazy)
        for word, more in ((PINS, _unpinned(changed, stopwatch)), (SEALS, _sealed(changed)), (SIZES, _shelf(changed))):
            if more:
                yield (word,), (*base, *more)
        yield from _at_once(base, changed, kinds, stopwatch, lazy, found)


def _cooled(base: tuple[ProblemChange, ...], changed: Problem, stretch: Stretch, found: Sized) -> Iterator[Proposal]:
    """What helps bundles: of each kind no more than one that is found."""
    for kind in cooled(changed, stretch):
        before = len(found)
        for changes in kind:
            yield (BUNDLES,), (*base, *changes)
            if len(found) > before:
                break


def _at_once(
    base: tuple[ProblemChange, ...],
    changed: Problem,
    kinds: Collection[Relief],
    stopwatch: Stopwatch,
    lazy: LazyRows,
    found: Sized,
) -> Iterator[Proposal]:
    """Kinds of change at once: all, and where nothing has been found with other sites too, then two at a time."""
    futile: list[set[Relief]] = []
    for several in ((), (MORE_UNITS,), (SITES,), (PLACES,)):
        if found and not {*several} <= {MORE_UNITS}:
            break
        for names, changes in _with(base, changed, (*EVERYTHING, *several), stopwatch, lazy):
            if not changes:
                futile.append({*EVERYTHING, *several})
            yield names, changes
    for pair in combinations(kinds, 2):
        # what all cannot, two of them cannot
        if not found and {*pair} not in APART and not any({*pair} <= tried for tried in futile):
            yield from _with(base, changed, pair, stopwatch, lazy)


def _with(
    base: tuple[ProblemChange, ...], changed: Problem, kinds: tuple[Relief, ...], stopwatch: Stopwatch, lazy: LazyRows
) -> Iterator[Proposal]:
    more = turned(changed, kinds, stopwatch, lazy)
    if more is not None:
        yield tuple(kind.name for kind in kinds), ((*base, *more) if more else ())


MENDED, OPTIONS, BUNDLES, PINS, SEALS, SIZES = "mended", "options", "bundles", "pins", "seals", "sizes"
"""Kinds of change that need no model: what rules out every layout, loads that nothing feeds, bundles, and the rest."""


KINDS = (SPARES, TOGETHER, CONTACTS, SITES, MORE_UNITS, RATINGS, FEEDS, OUTPUTS, PLACES, NOT_ALWAYS, FUNCTIONS)
LINES = (*KINDS_OF_BUNDLE.values(),)
HELPS = {
    "spares": {"unit", "outputs", "spare", "feed", "start"},
    "together": {"together", "unit", "bank", "outputs", "feed", *LINES},
    "contacts": {"contacts", "studs"},
    "sites": {"site", "always", "studs", "feed", "survive", *LINES},
    "units": {"unit", "bank", "outputs", "feed", "survive", *LINES},
    "ratings": {"unit", "bank"},
    "feeds": {"feed", "start", "cables"},
    "outputs": {"outputs"},
    "places": {"site", "always", "studs", "feed", "survive", *LINES},
    "fit": {"site", "always", "studs"},
    "functions": {"survive"},
}
"""Limits (the first of their keys) that a kind of change widens or keeps clear of."""

EVERYTHING = (SPARES, TOGETHER, CONTACTS, RATINGS, OUTPUTS, FEEDS, NOT_ALWAYS, FUNCTIONS)
"""Where no kind of change alone is enough."""

APART = ({SITES, PLACES}, {SITES, MORE_UNITS}, {PLACES, MORE_UNITS})
"""Kinds that are not turned at once: each of them adds slots of its own."""

TRIED = 3
"""Ways in which loads that nothing can feed are given an option."""


def _all_fed(problem: Problem, stopwatch: Stopwatch) -> Iterator[tuple[ProblemChange, ...]]:
    """Changes after which every load has an option: the first, second and third choice for each that has none."""
    for choice in range(TRIED):
        changes: tuple[ProblemChange, ...] = ()
        option_list = list_options(problem)
        more = False
        while lacking := option_list.unfed:
            _ = stopwatch.left_s
            changed = applied(problem, changes)
            found = sorted(_first(chains(changed, option_list, lacking[0]), MOST_CHAINS), key=len)
            if not found and option_list.slots:
                found = _from_the_source(changed, lacking[0])
            if not found:
                return
            more = more or len(found) > choice
            changes = (*changes, *found[min(choice, len(found) - 1)])
            option_list = list_options(applied(problem, changes))
        if choice and not more:
            return
        yield changes


def _from_the_source(problem: Problem, group: LoadGroup) -> list[tuple[ProblemChange, ...]]:
    """Loads of a group fed from the source, where no unit can: each then needs a fuse and a switch of its own."""
    loads = [problem.load[load.name] for load in group.loads]
    return [tuple(map(direct, loads))] if all(map(may_be_direct, loads)) else []


MOST_CHAINS = 8


def _first(every: Iterator[tuple[ProblemChange, ...]], most: int) -> list[tuple[ProblemChange, ...]]:
    return [chain for _, chain in zip(range(most), every, strict=False)]


def _unpinned(problem: Problem, stopwatch: Stopwatch) -> tuple[ProblemChange, ...]:
    """The fewest pins found that have to be taken off; none where taking all of them off does not help."""
    pinned = [load.name for load in problem.loads if load.unit is not None]
    everything = tuple(free_of_unit(problem, name) for name in pinned)
    if not pinned or not possible(problem, everything, stopwatch):
        return ()
    outputs = [name for name in pinned if problem.load[name].output is not None]
    singles = [(unpinned(problem, name),) for name in outputs] + [(change,) for change in everything]
    for single in singles:
        if possible(problem, single, stopwatch):
            return single
    kept = everything
    for change in everything:
        fewer = tuple(other for other in kept if other is not change)
        if possible(problem, fewer, stopwatch):
            kept = fewer
    return kept


def _shelf(problem: Problem) -> tuple[ProblemChange, ...]:
    """Wire of every size, where only some sizes may be used."""
    return (all_sizes(problem),) if problem.wire_rules.sizes else ()


def _sealed(problem: Problem) -> tuple[ProblemChange, ...]:
    """Sealed types for units whose sites are wet."""
    wet = {
        unit.type
        for unit in problem.units
        if any(problem.place[site].wet for site in unit.sites) and not problem.unit_type[unit.type].sealed
    }
    return tuple(sealed(problem.unit_type[name]) for name in sorted(wet))
