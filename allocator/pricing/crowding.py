"""How full a segment may become, and how many neighbours a wire bears."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from allocator.clock import heed_clock
from allocator.pricing.circuits import Alike, Candidate
from allocator.pricing.slots import Slot
from allocator.problem import CHASSIS, SOURCE, Load, Problem, Supply
from allocator.routing import Network, Route
from allocator.wiring import bundle_factor

ALONE = 10**9
"""A number of wires that no segment ever holds."""


@dataclass(frozen=True)
class Crowd:
    """Between how many and how many wires each segment holds, by its number, and the columns of the factors.

    ``loading`` is the column of the bundle table, ``raised`` that of segments which are loaded more. ``watched`` holds
    the numbers of wires that matter, by segment, in rising order: a wire that bears no more than one of them limits
    its bundle to the next such number, and beyond the last it does not. So what is listed is a relaxation, as near to
    the truth as the numbers are many. None: every number of every segment matters. ``held`` are segments whose most
    is something to be held to, and not only all the wires that there are.
    """

    loading: float
    least: Mapping[int, int]
    most: Mapping[int, int]
    watched: Mapping[int, tuple[int, ...]] | None = None
    raised: Mapping[int, float] = field(default_factory=dict)
    held: frozenset[int] = frozenset()

    def column(self, segment: int) -> float:
        """The column of one segment."""
        return max(self.loading, self.raised.get(segment, 0.0))

    @cached_property
    def _factors(self) -> dict[float, tuple[float, ...]]:
        """By column, factors for 1, 2, 3 ... wires, negated so that they rise."""
        numbers = range(1, max(self.most.values(), default=1) + 1)
        columns = {self.loading, *(self.column(e) for e in self.raised)}
        return {column: tuple(-bundle_factor(n, column) for n in numbers) for column in columns}

    def bears(self, segment: int, factor: float) -> int:
        """The most wires in a segment at which at least this factor is left; 0 where even one wire is too many."""
        return bisect_right(self._factors[self.column(segment)], -factor * (1.0 - 1e-9))

    def fits(self, route: Route, factor: float) -> bool:
        """Whether a wire that needs this factor may lie on a route at all."""
        return factor <= 1.0 + 1e-9 and all(self.bears(e, factor) >= self.least[e] for e in route.segments)

    def caps(self, route: Route, factor: float) -> tuple[tuple[int, int], ...]:
        """(segment, most wires in it) where a wire that needs this factor limits the segment."""
        limits = ((e, self._limit(e, self.bears(e, factor))) for e in sorted(set(route.segments)))
        return tuple((e, most) for e, most in limits if most < self.most[e])

    def _limit(self, segment: int, bears: int) -> int:
        if self.watched is None or bears >= self.most[segment]:
            return bears
        numbers = self.watched.get(segment, ())
        next_one = bisect_left(numbers, bears)
        return numbers[next_one] if next_one < len(numbers) else ALONE

    def shared(self, route: Route) -> tuple[int, ...]:
        """Segments of a route whose wires are counted: those that may, or must not, come to hold more than one."""
        return tuple(
            e
            for e in route.segments
            if e in self.held or (self.most[e] > 1 and (self.watched is None or e in self.watched))
        )


def crowd_of(
    problem: Problem,
    network: Network,
    alike: Sequence[Alike],
    circuits: Iterable[Candidate],
    slots: Sequence[Slot],
) -> Crowd:
    """The widest crowd: for each segment the wires of every load that any listed way could lead through it."""
    most = dict.fromkeys(range(len(problem.segments)), 0)
    for group in alike:
        heed_clock()
        load = group.sample
        outgoing = 2 if load.bridge else max((c.output.parallel for s in slots for c in s.classes), default=1)
        out = _passed(route for slot in slots for route in network.routes(slot.site, load.place))
        back = set() if load.bridge else _return_segments(problem, network, load)
        for segment in out | back:
            most[segment] += len(group.loads) * (outgoing * (segment in out) + (segment in back))
    _add_trees(network, alike, circuits, slots, most)
    for load in problem.loads:
        if load.supply is Supply.DIRECT:
            out = _passed(network.routes(problem.sources[0].place, load.place))
            for segment in [*out, *_return_segments(problem, network, load)]:
                most[segment] += 1
    for slot in slots:
        for segment in _passed(network.routes(slot.source.place, slot.site)):
            most[segment] += 1
    for wire in problem.given_wires:
        if wire.current_a > 0:
            for segment in network.shortest(wire.start, wire.end).segments:
                most[segment] += wire.cores
    return Crowd(problem.margins.bundle_loading or 0.6, dict.fromkeys(most, 0), most)


def _passed(routes: Iterable[Route]) -> set[int]:
    return {segment for route in routes for segment in route.segments}


def _return_segments(problem: Problem, network: Network, load: Load) -> set[int]:
    if load.return_to == CHASSIS:
        stud = network.stud_of(load.place)
        ends = [] if stud is None else [stud]
    elif load.return_to == SOURCE:
        ends = sorted({source.place for source in problem.sources})
    else:
        ends = [load.return_to]
    return _passed(route for end in ends for route in network.routes(load.place, end))


def _add_trees(
    network: Network, alike: Sequence[Alike], circuits: Iterable[Candidate], slots: Sequence[Slot], most: dict[int, int]
) -> None:
    """A shared tree may pass where no single route does: there each of its loads counts once."""
    beside: dict[int, set[tuple[int, int]]] = {}
    for candidate in circuits:
        if candidate.single:
            continue
        places = tuple(sorted({alike[g].sample.place for g, _ in candidate.members}))
        for site in sorted({slot.site for slot in slots}):
            edges = network.tree(site, places).edges
            for segment in _passed(network.follow(edge) for edge in edges):
                beside.setdefault(segment, set()).update(
                    (g, k) for g, _ in candidate.members for k in range(len(alike[g].loads))
                )
    for segment, loads in beside.items():
        most[segment] += len(loads)
