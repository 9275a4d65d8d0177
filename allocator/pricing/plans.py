"""Plans: the wires of one circuit, of least copper for every set of contacts that they could take."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product
from math import inf, prod

from allocator.pricing.bench import Workbench
from allocator.pricing.circuits import Alike, Candidate
from allocator.pricing.conductors import (
    Conductor,
    Crossing,
    Way,
    conductors,
    in_range,
    outgoing_ways,
    return_ways,
)
from allocator.pricing.jobs import SLACK, Job, Refusal
from allocator.pricing.slots import Slot
from allocator.problem import Load, Problem
from allocator.routing import Piece, TreeWires, split_tree
from allocator.wiring import SPLICE_OHM


@dataclass(frozen=True)
class Plan:
    """The wires of a circuit, its splices as (place, count) and their price, and the drop of its worst load in V.

    ``watched`` are the alike loads of functions that a bulkhead must not take away.
    """

    conductors: tuple[Conductor, ...]
    splices: tuple[tuple[str, int], ...]
    splice_g: float
    drop_v: float
    watched: frozenset[int] = frozenset()

    @cached_property
    def copper_g(self) -> float:
        """Grams of copper of all wires."""
        return round(sum(c.all_copper_g for c in self.conductors), 3)

    @property
    def price_g(self) -> float:
        """Copper and what the splices are worth."""
        return self.copper_g + self.splice_g

    @cached_property
    def crossings(self) -> tuple[Crossing, ...]:
        """Every contact taken, once per wire, in a fixed order: which wire takes which does not matter."""
        taken = (x for c in self.conductors for x in c.crossings * c.count)
        return tuple(sorted(taken, key=lambda x: (x.bulkhead, sorted(x.accepted))))

    @cached_property
    def cut_off(self) -> dict[tuple[str, int], int]:
        """By (bulkhead, watched group), how many loads of the group have their current pass the bulkhead."""
        lost: dict[tuple[str, int], int] = {}
        for conductor in self.conductors:
            for name in {crossing.bulkhead for crossing in conductor.crossings}:
                for group, count in conductor.members:
                    if group in self.watched:
                        already = lost.get((name, group), 0)
                        lost[name, group] = already + count if conductor.role == "branch" else max(already, count)
        return lost

    @cached_property
    def crowded(self) -> Counter[int]:
        """How many wires it adds to each segment that may come to hold more than one."""
        return Counter(e for c in self.conductors for e in c.crowded * c.count)

    @cached_property
    def caps(self) -> dict[int, tuple[int, ...]]:
        """Per segment, the most wires that each of its limiting wires bears, in rising order."""
        found: dict[int, list[int]] = {}
        for conductor in self.conductors:
            for segment, most in conductor.caps:
                found.setdefault(segment, []).extend([most] * conductor.count)
        return {segment: tuple(sorted(most)) for segment, most in found.items()}

    @cached_property
    def footprint(self) -> object:
        """What it takes of what is shared (contacts, room in bundles), and what a bulkhead takes away with it."""
        cut_off = tuple(sorted(self.cut_off.items()))
        return (self.crossings, tuple(sorted(self.crowded.items())), tuple(sorted(self.caps.items())), cut_off)

    @cached_property
    def key(self) -> object:
        """What makes two plans the same."""
        return tuple(
            (c.role, c.wire.size, c.wire.insulation_c, c.route.places, c.length_m, c.count, c.crossings)
            for c in self.conductors
        )

    def no_harder_than(self, other: Plan) -> bool:
        """Whether this plan takes no contact and no room that ``other`` does not take, nor loses more to a bulkhead."""
        loses_no_more = all(count <= other.cut_off.get(key, 0) for key, count in self.cut_off.items())
        return loses_no_more and self._contacts_within(other) and self._room_within(other)

    def _contacts_within(self, other: Plan) -> bool:
        left = list(other.crossings)
        for own in self.crossings:
            match = next((x for x in left if x.bulkhead == own.bulkhead and x.accepted <= own.accepted), None)
            if match is None:
                return False
            left.remove(match)
        return True

    def _room_within(self, other: Plan) -> bool:
        if not self.crowded <= other.crowded:
            return False
        for segment, own in self.caps.items():
            theirs = other.caps.get(segment, ())
            if len(own) > len(theirs) or any(a < b for a, b in zip(own, theirs, strict=False)):
                return False
        return True


def drop_limit_v(problem: Problem, load: Load, *, fed: bool = True) -> float:
    """Most volts that may be lost between unit (or, with ``fed`` False, the source) and load, there and back."""
    margins = problem.margins
    share = margins.branch_drop if load.max_drop is None else load.max_drop
    limit = share * problem.running_v
    if load.min_volts_v is not None:
        before = margins.feed_drop * problem.running_v if fed else 0.0
        limit = min(limit, problem.lowest_v - before - load.min_volts_v)
    return limit


def plans(bench: Workbench, candidate: Candidate, alike: Sequence[Alike], slot: Slot, job: Job) -> list[Plan] | Refusal:
    """Plans for a job, one for each set of contacts that differs; or why there is none."""
    key = (
        candidate.index,
        slot.site,
        slot.source.place,
        job.outputs,
        job.bridge,
        job.trip_a,
        job.wire_mm2,
        job.let_through_a2s,
    )
    if key in bench.priced:
        return bench.priced[key]
    if candidate.single:
        found = _single(bench, candidate.members, alike[candidate.members[0][0]].sample, slot, job)
    else:
        found = _shared(bench, candidate, alike, slot, job)
    if not isinstance(found, Refusal):
        bench.priced[key] = found
    return found


def _refuse(
    loads: tuple[str, ...],
    slot: Slot,
    job: Job,
    reason: str,
    asked: float | None = None,
    limit: float | None = None,
    unit: str = "",
) -> Refusal:
    return Refusal(loads, slot.index, job.slot_class, reason, asked, limit, unit)


def _single(
    bench: Workbench, members: tuple[tuple[int, int], ...], load: Load, slot: Slot, job: Job
) -> list[Plan] | Refusal:
    """Plans of one load: the cheapest pair of outgoing and return wire for each pair of contact sets."""
    problem = bench.problem
    ways = outgoing_ways(problem, bench.network, bench.runs, slot.site, load)
    if not ways:
        return _refuse((load.name,), slot, job, "no route from the site")
    carrying = list(conductors(bench, ways, "out", job.outgoing, job.outputs, members))
    out = [c for c in carrying if in_range(c.wire.area_mm2, job.wire_mm2)]
    if not out:
        return _no_wire(load, slot, job, carrying)
    limit = drop_limit_v(problem, load)
    trips = 2.0 if job.bridge else 1.0
    if job.bridge:
        back: list[Conductor | None] = [None]
    else:
        ways_back = return_ways(problem, bench.network, load, slot.source.place)
        duty = job.returning(job.current_a)
        back = list(conductors(bench, ways_back, "return", duty, 1, members))
        if not back:
            return _refuse((load.name,), slot, job, "no return wire carries the trip", duty.trip_a, None, "A")
    best = cheapest_pairs(out, back, limit, trips)
    if not best:
        least = min(trips * o.drop_v for o in out) + min((r.drop_v for r in back if r is not None), default=0.0)
        return _refuse((load.name,), slot, job, "drop over the limit with the heaviest wire", least, limit, "V")
    return cheapest_by_footprint(
        [
            Plan(
                conductors=(o,) if r is None else (o, r),
                splices=(),
                splice_g=0.0,
                drop_v=trips * o.drop_v + (0.0 if r is None else r.drop_v),
                watched=bench.watched,
            )
            for o, r in best
        ]
    )


def _no_wire(load: Load, slot: Slot, job: Job, carrying: list[Conductor]) -> Refusal:
    if carrying:
        least = min(c.wire.area_mm2 for c in carrying)
        return _refuse(
            (load.name,),
            slot,
            job,
            "terminal range without a wire that carries the trip",
            least,
            job.wire_mm2[1],
            "mm2",
        )
    return _refuse((load.name,), slot, job, "no wire carries the trip on the route", job.trip_a, None, "A")


def cheapest_pairs(
    out: list[Conductor], back: Sequence[Conductor | None], limit_v: float, trips: float
) -> list[tuple[Conductor, Conductor | None]]:
    """The pair of least copper within the drop, for each pair of footprints."""

    def grouped(wires: Sequence[Conductor | None]) -> dict[object, list[Conductor | None]]:
        groups: dict[object, list[Conductor | None]] = {}
        for wire in wires:
            groups.setdefault(() if wire is None else wire.footprint, []).append(wire)
        for group in groups.values():
            group.sort(key=lambda w: (0.0, 0.0, ()) if w is None else (w.all_copper_g, w.wire.area_mm2, w.route.places))
        return groups

    found = []
    for outs, backs in product(grouped(out).values(), grouped(back).values()):
        best: tuple[tuple[float, float, float], Conductor, Conductor | None] | None = None
        least_back = _grams(backs[0])
        for o in outs:
            assert o is not None
            if best is not None and round(o.all_copper_g + least_back, 3) > best[0][0]:
                break
            left = limit_v * SLACK - trips * o.drop_v
            fitting = [r for r in backs if (0.0 if r is None else r.drop_v) <= left]
            if not fitting:
                continue
            r = fitting[0]
            rank = (
                round(o.all_copper_g + _grams(r), 3),
                o.wire.area_mm2,
                0.0 if r is None else r.wire.area_mm2,
            )
            if best is None or rank < best[0]:
                best = (rank, o, r)
        if best is not None:
            found.append((best[1], best[2]))
    return found


def _grams(wire: Conductor | None) -> float:
    return 0.0 if wire is None else wire.all_copper_g


def _shared(
    bench: Workbench, candidate: Candidate, alike: Sequence[Alike], slot: Slot, job: Job
) -> list[Plan] | Refusal:
    """Plans of a shared output: the shortest tree, all of one size, each load with its own return."""
    groups = [(alike[g], n) for g, n in candidate.members]
    names = tuple(load.name for group, n in groups for load in group.loads[:n])
    problem = bench.problem
    for group, _ in groups:
        if any((name, slot.site) in bench.runs for name in (group.sample.name, group.sample.item)):
            return _refuse(names, slot, job, f"the run to '{group.sample.name}' was measured, so it is not shared")
    counts: dict[str, int] = {}
    for group, n in groups:
        counts[group.sample.place] = counts.get(group.sample.place, 0) + n
    tree = bench.network.tree(slot.site, tuple(sorted(counts)))
    wires = split_tree(tree, counts, slot.site, problem.margins.splice_wires)
    wet = [place for place, _ in wires.splices if problem.place[place].wet]
    if wet:
        return _refuse(names, slot, job, f"a splice would sit in the wet at '{wet[0]}'")
    found = list(_tree_plans(bench, groups, slot, job, wires))
    return cheapest_by_footprint(found) or _refuse(names, slot, job, "no wire of one size carries trip and drop")


def cheapest_by_footprint(found: list[Plan]) -> list[Plan]:
    """Of plans that take the same of what is shared, the one of least copper."""
    best: dict[object, Plan] = {}
    for plan in found:
        held = best.get(plan.footprint)
        if held is None or plan.copper_g < held.copper_g:
            best[plan.footprint] = plan
    return list(best.values())


def _tree_plans(
    bench: Workbench, groups: list[tuple[Alike, int]], slot: Slot, job: Job, wires: TreeWires
) -> Iterator[Plan]:
    """A plan for every size, and every choice of contacts, that serves the whole tree."""
    per_piece: list[dict[str, list[Conductor]]] = []
    for piece, members in zip(wires.pieces, _loads_of_pieces(groups, wires), strict=True):
        current = sum(n * group.sample.full_current_a for group, n in members)
        way = _piece_way(bench, piece, members)
        ids = tuple((group.index, n) for group, n in members)
        by_size: dict[str, list[Conductor]] = {}
        role = "branch" if piece.at_load else "trunk"
        duty = replace(job.outgoing, current_a=current)
        for wire in conductors(bench, (way,), role, duty, 1, ids):
            if in_range(wire.wire.area_mm2, job.wire_mm2):
                by_size.setdefault(wire.wire.size, []).append(wire)
        per_piece.append(by_size)
    backs = [_backs(bench, group, n, slot, job) for group, n in groups]
    best = inf
    for size in [s for s in per_piece[0] if all(s in piece for piece in per_piece)]:
        for choice in product(*(piece[size] for piece in per_piece)):
            free = bench.crowd is None and not any(wire.crossings for wire in choice)
            if free and sum(wire.copper_g for wire in choice) >= best:
                continue
            for plan in _with_returns(bench, groups, backs, wires, choice):
                if free and not plan.crossings:
                    best = min(best, plan.copper_g)
                yield plan


def _loads_of_pieces(groups: list[tuple[Alike, int]], wires: TreeWires) -> list[list[tuple[Alike, int]]]:
    """Which loads' current each piece carries; loads at one place are told off to its own pieces one by one."""
    at_place: dict[str, list[Alike]] = {}
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


def _piece_way(bench: Workbench, piece: Piece, members: list[tuple[Alike, int]]) -> Way:
    route = bench.network.follow(piece.places)
    lead = members[0][0].sample.lead_m if piece.at_load else 0.0
    return Way(route, max(0.0, route.length_m + bench.problem.margins.tail_m - lead))


def _backs(bench: Workbench, group: Alike, count: int, slot: Slot, job: Job) -> list[Conductor]:
    """Return wires of the loads of a group, the lightest first."""
    load = group.sample
    ways = return_ways(bench.problem, bench.network, load, slot.source.place)
    duty = job.returning(load.full_current_a)
    found = conductors(bench, ways, "return", duty, count, ((group.index, count),))
    return sorted(found, key=lambda w: (w.copper_g, w.wire.area_mm2, w.route.places))


def _with_returns(
    bench: Workbench,
    groups: list[tuple[Alike, int]],
    backs: list[list[Conductor]],
    wires: TreeWires,
    chosen: tuple[Conductor, ...],
) -> Iterator[Plan]:
    """The pieces of one size completed by the cheapest return of each load that keeps its drop."""
    problem = bench.problem
    splices = dict(wires.splices)
    drops = _drops_at_loads(wires, chosen, splices)
    returns: list[list[tuple[Conductor, float]]] = []
    for (group, _), back in zip(groups, backs, strict=True):
        limit = drop_limit_v(problem, group.sample) * SLACK
        worst = max(drops[group.index])
        fits: dict[object, tuple[Conductor, float]] = {}
        for wire in back:
            if worst + wire.drop_v <= limit and wire.footprint not in fits:
                fits[wire.footprint] = (wire, worst + wire.drop_v)
        returns.append(list(fits.values()))
    for choice in _return_choices(bench, returns):
        yield Plan(
            conductors=(*chosen, *(wire for wire, _ in choice)),
            splices=wires.splices,
            splice_g=problem.prices.splice_g * sum(splices.values()),
            drop_v=max(total for _, total in choice),
            watched=bench.watched,
        )


MOST_RETURN_CHOICES = 64
"""Up to so many combinations of return wires all are listed for a tree; beyond, one for each fullness of bundles."""


def _return_choices(
    bench: Workbench, returns: list[list[tuple[Conductor, float]]]
) -> Iterator[tuple[tuple[Conductor, float], ...]]:
    """Combinations of return wires, one for each load; where they are too many, those that bear the same fullness."""
    if prod(len(own) for own in returns) <= MOST_RETURN_CHOICES or bench.crowd is None:
        yield from product(*returns)
        return
    bench.cut.add("return wires of shared outputs: combinations are listed by how full a bundle all of them bear")
    for fullness in sorted({_bears(wire) for own in returns for wire, _ in own}):
        fitting = [[choice for choice in own if _bears(choice[0]) >= fullness] for own in returns]
        if all(fitting):
            yield tuple(own[0] for own in fitting)


def _bears(wire: Conductor) -> float:
    """The fullest bundle that a wire bears; without end where it limits none."""
    return min((most for _, most in wire.caps), default=inf)


def _drops_at_loads(
    wires: TreeWires, chosen: tuple[Conductor, ...], splices: Mapping[str, int]
) -> dict[int, list[float]]:
    """Volts lost from the output to each group's loads, out and through splices, by group index."""
    result: dict[int, list[float]] = {}
    for piece, wire in zip(wires.pieces, chosen, strict=True):
        if piece.at_load:
            before = sum(
                other.drop_v + splices[above.end] * SPLICE_OHM * other.current_a
                for above, other in zip(wires.pieces, chosen, strict=True)
                if not above.at_load and above.feeds(piece.end)
            )
            result.setdefault(wire.members[0][0], []).append(before + wire.drop_v)
    return result
