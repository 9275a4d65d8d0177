"""Wires of a shared output: the shortest tree, all of one size, and a return of each load's own."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations_with_replacement, product
from math import comb, inf, prod

from allocator.clock import heed_clock
from allocator.options.candidates import Candidate
from allocator.options.conductor_listing import Way, conductor_options, return_ways
from allocator.options.conductor_option import ConductorOption, in_range, lightest_first
from allocator.options.cut_short import Cut, CutShort
from allocator.options.jobs import SLACK, Job, shares_of
from allocator.options.lazy_rows import LazyRows
from allocator.options.load_groups import LoadGroup
from allocator.options.pruning import PruningBound
from allocator.options.refusals import Refusal, Why
from allocator.options.slots import Slot
from allocator.options.warmed_wires import Lost, as_if_alone, judged, returns_within, warmed_by
from allocator.options.wiring_plan import (
    ROUNDING_G,
    WiringPlan,
    cheapest_by_footprint,
    drop_limit_v,
    refuse,
    unpruned,
)
from allocator.options.workbench import Workbench
from allocator.routing import Piece, RouteError, TreeWires, split_tree
from allocator.routing.steiner import EXACT_ENDS
from allocator.wiring import SPLICE_OHM


def shared_plans(
    bench: Workbench, candidate: Candidate, load_groups: Sequence[LoadGroup], slot: Slot, job: Job
) -> list[WiringPlan] | Refusal:
    """Plans of a shared output: the shortest tree, all of one size, each load with its own return.

    Parameters
    ----------
    bench
        The problem with all that its options are listed from.
    candidate
        The loads that share the output, counted by group.
    load_groups
        Groups of interchangeable loads, by number.
    slot
        The unit at its site.
    job
        What the outputs have to do: current, trip, how many.
    """
    groups = [(load_groups[g], n) for g, n in candidate.members]
    names = tuple(load.name for group, n in groups for load in group.loads[:n])
    problem = bench.problem
    for group, _ in groups:
        if any((name, slot.site) in bench.runs for name in (group.sample.name, group.sample.item)):
            return refuse(names, slot, job, Why.MEASURED, group.sample.name)
    counts: dict[str, int] = {}
    for group, n in groups:
        counts[group.sample.place] = counts.get(group.sample.place, 0) + n
    try:
        tree = bench.network.tree(slot.site, tuple(sorted(counts)))
    except RouteError:
        return refuse(names, slot, job, Why.NO_TREE)
    if not tree.exact:
        bench.cut.add(CutShort(Cut.TREE, (tree.root, len(tree.ends), EXACT_ENDS)))
    wires = split_tree(tree, counts, slot.site, problem.margins.splice_wires)
    wet = [place for place, _ in wires.splices if problem.place[place].wet]
    if wet:
        return refuse(names, slot, job, Why.WET_SPLICE, wet[0])
    members = [(group.index, group.sample) for group, _ in groups]
    kept = _not_too_heavy(_tree_plans(bench, groups, slot, job, wires), bench.prunings)
    found = [judged(problem, plan, members, bench.lazy) for plan in kept]
    listed = unpruned(cheapest_by_footprint(found), bench.prunings, bench.lazy)
    return listed or refuse(names, slot, job, Why.NO_COMMON_SIZE)


def _not_too_heavy(found: Iterable[WiringPlan], prunings: Sequence[PruningBound]) -> Iterator[WiringPlan]:
    """Plans without those that are too heavy beside one before them, by the bounds that know of no warm bundle."""
    least: dict[object, float] = {}
    blind = LazyRows()
    for plan in found:
        heavy = False
        for n, pruning in enumerate(prunings):
            if not pruning.lazy.warm:
                seen = (n, plan.seen(pruning.lazy, blind))
                least[seen] = min(least.get(seen, inf), plan.price_g)
                heavy = heavy or plan.price_g > least[seen] + pruning.more_g + ROUNDING_G
        if not heavy:
            yield plan


def _tree_plans(
    bench: Workbench, groups: list[tuple[LoadGroup, int]], slot: Slot, job: Job, wires: TreeWires
) -> Iterator[WiringPlan]:
    """A plan for every size, and every set of contacts, that serves the whole tree."""
    per_piece: list[dict[str, list[ConductorOption]]] = []
    for piece, members in zip(wires.pieces, _loads_of_pieces(groups, wires), strict=True):
        current = sum(n * group.sample.full_current_a for group, n in members)
        way = _piece_way(bench, piece, members)
        ids = tuple((group.index, n) for group, n in members)
        by_size: dict[str, list[ConductorOption]] = {}
        role = "branch" if piece.at_load else "trunk"
        carried = [(group.sample, n) for group, n in members]
        duty = replace(job.outgoing, current_a=current, shares=shares_of(carried))
        for wire in conductor_options(bench, (way,), role, duty, 1, ids):
            if in_range(wire.wire.area_mm2, job.wire_mm2):
                by_size.setdefault(wire.wire.size, []).append(wire)
        per_piece.append(by_size)
    backs = [_backs(bench, group, n, slot, job) for group, n in groups]
    best = inf
    heavy = _too_heavy_trees(bench, groups, backs, wires)
    for size in [s for s in per_piece[0] if all(s in piece for piece in per_piece)]:
        for choice in product(*(piece[size] for piece in per_piece)):
            heed_clock()
            free = not any(wire.crossings or wire.bundles for wire in choice)
            if free and sum(wire.copper_g for wire in choice) >= best:
                continue
            if heavy(choice):
                continue
            for plan in _with_returns(bench, groups, backs, wires, choice):
                if free and not plan.crossings and not plan.warmth:
                    best = min(best, plan.copper_g)
                yield plan


def _too_heavy_trees(
    bench: Workbench, groups: list[tuple[LoadGroup, int]], backs: list[list[ConductorOption]], wires: TreeWires
) -> Callable[[tuple[ConductorOption, ...]], bool]:
    """Whether outgoing wires are too heavy beside some before them with which the same return wires keep the drop."""
    splices = dict(wires.splices)
    prunings = [pruning for pruning in bench.prunings if not pruning.lazy.warm]
    least: dict[object, float] = {}

    def heavy(chosen: tuple[ConductorOption, ...]) -> bool:
        if not prunings:
            return False
        drops = _drops_at_loads(wires, chosen, splices)
        fitting = []
        for (group, _), back in zip(groups, backs, strict=True):
            left = drop_limit_v(bench.problem, group.sample) * SLACK - max(drops[group.index])
            fitting.append(sum(wire.drop_v <= left for wire in back))
        grams, found = sum(wire.copper_g for wire in chosen), False
        for n, pruning in enumerate(prunings):
            key = (n, tuple(fitting), tuple(wire.seen(pruning.lazy) for wire in chosen))
            least[key] = min(least.get(key, inf), grams)
            found = found or grams > least[key] + pruning.more_g + ROUNDING_G
        return found

    return heavy


def _loads_of_pieces(groups: list[tuple[LoadGroup, int]], wires: TreeWires) -> list[list[tuple[LoadGroup, int]]]:
    """Which loads' current each piece carries; loads at one place are assigned to its own pieces one by one."""
    at_place: dict[str, list[LoadGroup]] = {}
    for group, n in groups:
        at_place.setdefault(group.sample.place, []).extend([group] * n)
    waiting = {place: list(ones) for place, ones in at_place.items()}
    result = []
    for piece in wires.pieces:
        if piece.at_load:
            carried = [waiting[piece.end].pop(0)]
        else:
            carried = [group for place, _ in piece.downstream for group in at_place[place]]
        result.append([(group, carried.count(group)) for group, _ in groups if group in carried])
    return result


def _piece_way(bench: Workbench, piece: Piece, members: list[tuple[LoadGroup, int]]) -> Way:
    route = bench.network.follow(piece.places)
    lead = members[0][0].sample.lead_m if piece.at_load else 0.0
    return Way(route, max(0.0, route.length_m + bench.problem.margins.tail_m - lead))


def _backs(bench: Workbench, group: LoadGroup, count: int, slot: Slot, job: Job) -> list[ConductorOption]:
    """Return wires of the loads of a group, the lightest first."""
    load = group.sample
    ways = return_ways(bench, load, slot.source.place)
    duty = job.returning(load)
    found = conductor_options(bench, ways, "return", duty, count, ((group.index, count),))
    return lightest_first(found)


def _with_returns(
    bench: Workbench,
    groups: list[tuple[LoadGroup, int]],
    backs: list[list[ConductorOption]],
    wires: TreeWires,
    chosen: tuple[ConductorOption, ...],
) -> Iterator[WiringPlan]:
    """The pieces of one size completed by the cheapest return of each load that keeps its drop."""
    problem = bench.problem
    splices = dict(wires.splices)
    drops = _drops_at_loads(wires, chosen, splices)
    lost = warmed_by(bench)
    warm = drops if lost is None else _drops_at_loads(wires, chosen, splices, lost)
    returns: list[list[_Backs]] = []
    for (group, count), back in zip(groups, backs, strict=True):
        limit = drop_limit_v(problem, group.sample) * SLACK
        worst, warmest = max(drops[group.index]), max(warm[group.index])
        fits = returns_within(back, worst, limit, lost, warmest, _too_heavy(bench))
        returns.append(_of_alike(bench, fits, group.index, count))
    for choice in _return_choices(bench, returns):
        yield WiringPlan(
            conductors=(*chosen, *(wire for own, _ in choice for wire in own)),
            splices=wires.splices,
            splice_g=problem.prices.splice_g * sum(splices.values()),
            drop_v=max(total for _, total in choice),
            guarded=bench.guarded,
        )


_Backs = tuple[tuple[ConductorOption, ...], float]
"""Return wires of the loads of one group, and the drop of the worst of them in V."""


def _of_alike(bench: Workbench, fits: list[tuple[ConductorOption, float]], group: int, count: int) -> list[_Backs]:
    """Return wires of alike loads: each may take another way or contact, which one of them does not matter."""
    number = comb(len(fits) + count - 1, count)
    if number > MOST_RETURN_CHOICES:
        bench.cut.add(CutShort(Cut.ALIKE_RETURNS))
        return [((wire,), volts) for wire, volts in fits]
    found: list[_Backs] = []
    for chosen in combinations_with_replacement(range(len(fits)), count):
        times = Counter(chosen)
        own = tuple(replace(fits[n][0], count=k, members=((group, k),)) for n, k in times.items())
        found.append((own, max(fits[n][1] for n in times)))
    return found


MOST_RETURN_CHOICES = 400
"""Up to so many combinations of return wires, all are listed for a tree; beyond that fewer, which is declared."""


def _return_choices(bench: Workbench, returns: list[list[_Backs]]) -> Iterator[tuple[_Backs, ...]]:
    """Combinations of return wires over the groups; where they are too many, one at a time and all alike heavier."""
    if prod(len(own) for own in returns) <= MOST_RETURN_CHOICES:
        yield from product(*returns)
        return
    bench.cut.add(CutShort(Cut.SHARED_RETURNS))
    ranked = [sorted(own, key=lambda choice: sum(wire.all_copper_g for wire in choice[0])) for own in returns]
    yield tuple(own[0] for own in ranked if own)
    for n, own in enumerate(ranked):
        for choice in own[1:]:
            yield tuple(choice if m == n else other[0] for m, other in enumerate(ranked))
    for n in range(1, max(len(own) for own in ranked)):
        yield tuple(own[min(n, len(own) - 1)] for own in ranked)


def _too_heavy(bench: Workbench) -> Callable[[ConductorOption], bool]:
    """Whether a return wire is too heavy beside one before it; they come the lightest first, each within its drop."""
    least: dict[object, float] = {}
    prunings = [pruning for pruning in bench.prunings if not pruning.lazy.warm]

    def heavy(wire: ConductorOption) -> bool:
        found = False
        for n, pruning in enumerate(prunings):
            lightest = least.setdefault((n, wire.seen(pruning.lazy)), wire.copper_g)
            found = found or wire.copper_g > lightest + pruning.more_g + ROUNDING_G
        return found

    return heavy


def _drops_at_loads(
    wires: TreeWires,
    chosen: tuple[ConductorOption, ...],
    splices: Mapping[str, int],
    lost: Lost = as_if_alone,
) -> dict[int, list[float]]:
    """Volts lost from the output to each group's loads, out and through splices, by group index."""
    result: dict[int, list[float]] = {}
    for piece, wire in zip(wires.pieces, chosen, strict=True):
        if piece.at_load:
            before = sum(
                lost(other) + splices[above.end] * SPLICE_OHM * other.current_a
                for above, other in zip(wires.pieces, chosen, strict=True)
                if not above.at_load and above.feeds(piece.end)
            )
            result.setdefault(wire.members[0][0], []).append(before + lost(wire))
    return result
