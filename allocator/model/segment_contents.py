"""What a solution lays into each segment: the wires of its bundle, and the cables beside it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from allocator.model.laid_line import LaidLine, of_conductor, of_core, of_feed
from allocator.model.solution import Solution
from allocator.options import OptionList
from allocator.options.workbench import with_bundle
from allocator.wiring import BundledWire
from allocator.wiring.bundle_heat import square_mm2


@dataclass
class SegmentContents:
    """What lies in one segment: in its bundle, and beside it; ``place`` is 1 where wires may pass, else 0."""

    place: int = 0
    bundle: list[LaidLine] = field(default_factory=list)
    cables: list[LaidLine] = field(default_factory=list)

    @property
    def wires(self) -> int:
        """Wires of the bundle."""
        return sum(own.count for own in self.bundle)

    @property
    def side_by_side(self) -> int:
        """Cables that lie side by side; the place of the bundle counts as one."""
        return sum(own.count for own in self.cables) + self.place if self.cables else 0

    @property
    def squares_mm2(self) -> float:
        """Sum of the squared diameters of the wires of the bundle."""
        # whole steps add up to whole steps
        return round(sum(own.count * square_mm2(own.wire.wire) for own in self.bundle), 6)

    def carrying(self, condition: int) -> list[BundledWire]:
        """Wires of the bundle one by one, with what they carry in a condition."""
        return [own.at(condition) for own in self.bundle for _ in range(own.count)]


def segment_contents(option_list: OptionList, solution: Solution) -> dict[int, SegmentContents]:
    """What a solution lays into each segment; those of nothing left out."""
    found: dict[int, SegmentContents] = {}
    for own in _lines(option_list, solution):
        for e in own.route.segments:
            segment = found.setdefault(e, SegmentContents(with_bundle(option_list.problem, e) - 1))
            (segment.cables if own.beside else segment.bundle).append(own)
    return dict(sorted(found.items()))


def _lines(option_list: OptionList, solution: Solution) -> Iterator[LaidLine]:
    problem = option_list.problem
    for o, times in solution.options:
        for own in option_list.options[o].conductors:
            yield from [of_conductor(problem, own)] * times
    for d in solution.direct:
        yield from (of_conductor(problem, own) for own in option_list.direct[d].plan.conductors)
    for f in solution.feeds:
        yield of_feed(problem, option_list.feeds[f], feed_currents_a(option_list, solution, option_list.feeds[f].slot))
    yield from (of_core(problem, core) for core in option_list.given)


def feed_currents_a(option_list: OptionList, solution: Solution, slot: int) -> tuple[float, ...]:
    """What the feed of a slot carries in each condition, with the worst spreads and what is kept spare."""
    members: Counter[int] = Counter()
    for o, times in solution.options:
        if option_list.options[o].slot == slot:
            members.update({g: n * times for g, n in option_list.options[o].candidate.members})
    return tuple(
        (_worst_ma(option_list, members, m) + option_list.slots[slot].spare_current_ma) / 1000.0
        for m in range(len(option_list.problem.conditions))
    )


def _worst_ma(option_list: OptionList, members: Counter[int], condition: int) -> int:
    heating = sum(n * option_list.heating_ma[g][condition] for g, n in members.items())
    spreads = sorted((option_list.spread_ma[g][condition] for g, n in members.items() for _ in range(n)), reverse=True)
    return heating + sum(spreads[: option_list.problem.margins.robust])
