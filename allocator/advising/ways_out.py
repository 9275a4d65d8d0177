"""Ways out where no layout is possible: different kinds of change, each tried by solving the changed problem."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

from allocator.advising.changed_units import sealed
from allocator.advising.changed_words import all_sizes, free_of_unit, unpinned
from allocator.advising.changes import Change, applied, in_words
from allocator.advising.crowded import less_crowded
from allocator.advising.crowds import priced_alone
from allocator.advising.elastic import Stretch
from allocator.advising.feeding import chains
from allocator.advising.knobs import Relief, turned
from allocator.advising.mending import mended
from allocator.advising.raised import raised
from allocator.advising.reliefs_ratings import OUTPUTS, RATINGS, SPARES
from allocator.advising.reliefs_sites import FEEDS, MORE_UNITS, NOT_ALWAYS, PLACES, SITES
from allocator.advising.reliefs_words import CONTACTS, FUNCTIONS, TOGETHER
from allocator.advising.stopwatch import Stopwatch
from allocator.choosing import choose, pairs_of
from allocator.clock import TimeUpError
from allocator.layout import FEASIBLE, NOTHING_FOUND, OPTIMAL
from allocator.pricing import Pricing, price, unpriced
from allocator.problem import Problem, ProblemError
from allocator.search import Found
from allocator.solving import InternalError, finished, solve

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


@dataclass(frozen=True, slots=True)
class Trials:
    """What came of trying changes.

    ``vain``: kinds of change, by name, with which no layout came, each by itself or several at once. ``complete``
    False: the time was up, or it was stopped, before all of them were tried.
    """

    ways: tuple[WayOut, ...] = ()
    vain: tuple[tuple[str, ...], ...] = ()
    complete: bool = False


def ways_out(problem: Problem, most: int, watch: Stopwatch, stretch: Stretch | None = None) -> Trials:
    """At most so many ways out, and what was tried in vain.

    The limits that the ``stretch`` passes, raised, are tried first, for that takes no search, and told last, for other
    changes cost less. Kinds of change that help where these limits are passed go before others.
    """
    lacking = set() if stretch is None else {one.limit.kind for one in stretch.shortfalls}
    found: list[WayOut] = []
    vain: dict[tuple[str, ...], None] = {}
    tried: set[frozenset[object]] = set()
    enough: list[frozenset[object]] = []
    sure: tuple[WayOut, ...] = ()
    try:
        if stretch is not None:
            sure = _raised(problem, stretch, watch)
        pricing = priced_alone(problem) if stretch is None or problem.margins.bundle else stretch.pricing
        for kinds, changes in _proposed(problem, pricing, watch, lacking, sure or found):
            key = _key(changes)
            if key in tried or any(better <= key for better in enough):
                continue
            if changes:
                tried.add(key)
                watch.tell(f"trying: {in_words(changes)}")
            if not changes or not possible(problem, changes, watch):
                vain[kinds] = None
                continue
            vain.pop(kinds, None)
            found.append(WayOut(in_words(changes), changes, True))
            enough.append(key)
            if len(found) == most:
                break
    except TimeUpError:
        return Trials((*found, *_besides(sure, enough))[:most], tuple(vain))
    complete = len(found) == most or not watch.undecided
    return Trials((*found, *_besides(sure, enough))[:most], tuple(vain), complete)


def _key(changes: Iterable[Change]) -> frozenset[object]:
    return frozenset((c.table, c.row, c.field, c.after) for c in changes)


def _raised(problem: Problem, stretch: Stretch, watch: Stopwatch) -> tuple[WayOut, ...]:
    """The way out that is the choice of a stretch itself, where its limits can be raised."""
    changes = raised(problem, stretch.pricing, stretch.shortfalls)
    if not changes or not as_chosen(problem, changes, stretch, watch):
        return ()
    return (WayOut(in_words(changes), changes, True),)


def _besides(sure: tuple[WayOut, ...], enough: Collection[frozenset[object]]) -> tuple[WayOut, ...]:
    """Ways that do not hold another one."""
    return tuple(way for way in sure if not any(better <= _key(way.changes) for better in enough))


def as_chosen(problem: Problem, changes: tuple[Change, ...], stretch: Stretch, watch: Stopwatch) -> bool:
    """Whether the changed problem has a layout of the circuits that pass limits of the problem, one found clean."""
    try:
        changed = applied(problem, changes)
        slots = {(s.kind, s.site, s.copy): s.index for s in unpriced(changed).slots}
        old = {s.index: slots.get((s.kind, s.site, s.copy)) for s in stretch.pricing.slots}
        chosen = pairs_of(stretch.pricing, stretch.choice)
        pairs = {(members, slot) for members, n in chosen if (slot := old[n]) is not None}
        tight = price(changed, only=pairs)
        own = choose(tight, time_limit_s=watch.share_s(TRIAL_SHARE), gap=ANY_LAYOUT)
        return own.objective_g is not None and bool(finished(changed, Found(tight, own, tight)))
    except (ProblemError, InternalError):
        return False


def possible(problem: Problem, changes: tuple[Change, ...], watch: Stopwatch) -> bool:
    """Whether the changed problem has a layout, and one that the check finds clean."""
    try:
        layout = solve(applied(problem, changes), gap=ANY_LAYOUT, time_limit_s=watch.share_s(TRIAL_SHARE))
    except ProblemError:
        return False
    watch.undecided |= layout.status == NOTHING_FOUND
    return layout.status in (OPTIMAL, FEASIBLE)


Proposal = tuple[tuple[str, ...], tuple[Change, ...]]
"""Names of kinds of change, and changes of these kinds; none where no such changes let the model have a layout."""


def _proposed(
    problem: Problem, pricing: Pricing, watch: Stopwatch, lacking: Collection[str], found: Collection[WayOut]
) -> Iterator[Proposal]:
    """Changes that may let a layout be made, one kind after another, those that cost least to make first.

    Where each kind by itself does not help, all at once do in the model if any two of them do; in the problem the least
    of all may not be enough where two are.
    """
    for base in list(mended(problem)) if pricing.faults else [()]:
        changed = applied(problem, base)
        hungry = bool((priced_alone(changed) if base else pricing).unfed)
        if base and not hungry:
            yield (MENDED,), base
        if hungry:
            for fed in _all_fed(changed, watch):
                yield (OPTIONS,), (*base, *fed)
                yield from _with((*base, *fed), applied(changed, fed), EVERYTHING, watch)
        if "bundle" in lacking:
            for less in less_crowded(changed):
                yield (BUNDLES,), (*base, *less)
        kinds = sorted(KINDS, key=lambda kind: not {*lacking} & HELPS[kind.name])
        for kind in kinds:
            yield from _with(base, changed, (kind,), watch)
        for word, more in ((PINS, _unpinned(changed, watch)), (SEALS, _sealed(changed)), (SIZES, _shelf(changed))):
            if more:
                yield (word,), (*base, *more)
        yield from _at_once(base, changed, kinds, watch, found)


def _at_once(
    base: tuple[Change, ...],
    changed: Problem,
    kinds: Collection[Relief],
    watch: Stopwatch,
    found: Collection[WayOut],
) -> Iterator[Proposal]:
    """Kinds of change at once: all, and where nothing has been found with other sites too, then two at a time."""
    futile: list[set[Relief]] = []
    for several in ((), (MORE_UNITS,), (SITES,), (PLACES,)):
        if found and not {*several} <= {MORE_UNITS}:
            break
        for names, changes in _with(base, changed, (*EVERYTHING, *several), watch):
            if not changes:
                futile.append({*EVERYTHING, *several})
            yield names, changes
    for pair in combinations(kinds, 2):
        # what all cannot, two of them cannot
        if not found and {*pair} not in APART and not any({*pair} <= tried for tried in futile):
            yield from _with(base, changed, pair, watch)


def _with(
    base: tuple[Change, ...], changed: Problem, kinds: tuple[Relief, ...], watch: Stopwatch
) -> Iterator[Proposal]:
    more = turned(changed, kinds, watch)
    if more is not None:
        yield tuple(kind.name for kind in kinds), ((*base, *more) if more else ())


MENDED, OPTIONS, BUNDLES, PINS, SEALS, SIZES = "mended", "options", "bundles", "pins", "seals", "sizes"
"""Kinds of change that need no model: what rules out every layout, loads that nothing feeds, crowds, and the rest."""

TRIAL_SHARE = 0.5
"""Of the time left, what one changed problem may take to be solved."""

KINDS = (SPARES, TOGETHER, CONTACTS, SITES, MORE_UNITS, RATINGS, FEEDS, OUTPUTS, PLACES, NOT_ALWAYS, FUNCTIONS)
HELPS = {
    "spares": {"unit", "outputs", "spare", "feed", "start"},
    "together": {"together", "unit", "bank", "outputs", "feed"},
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

APART = ({SITES, PLACES}, {SITES, MORE_UNITS}, {PLACES, MORE_UNITS})
"""Kinds that are not turned at once: each of them adds slots of its own."""

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
