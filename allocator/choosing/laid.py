"""What a choice lays into each segment: the wires of its bundle, and the cables beside it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from allocator.choosing.choose import Choice
from allocator.choosing.lying import Lying, of_conductor, of_core, of_feed
from allocator.pricing import Pricing
from allocator.pricing.bench import with_bundle
from allocator.wiring import BundledWire
from allocator.wiring.bundle_heat import square_mm2


@dataclass
class Segment:
    """What lies in one segment: in its bundle, and beside it; ``place`` is 1 where wires may pass, else 0."""

    place: int = 0
    bundle: list[Lying] = field(default_factory=list)
    cables: list[Lying] = field(default_factory=list)

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


def laid(pricing: Pricing, choice: Choice) -> dict[int, Segment]:
    """What a choice lays into each segment; those of nothing left out."""
    found: dict[int, Segment] = {}
    for own in _lines(pricing, choice):
        for e in own.route.segments:
            segment = found.setdefault(e, Segment(with_bundle(pricing.problem, e) - 1))
            (segment.cables if own.beside else segment.bundle).append(own)
    return dict(sorted(found.items()))


def _lines(pricing: Pricing, choice: Choice) -> Iterator[Lying]:
    problem = pricing.problem
    for o, times in choice.options:
        for own in pricing.options[o].conductors:
            yield from [of_conductor(problem, own)] * times
    for d in choice.direct:
        yield from (of_conductor(problem, own) for own in pricing.direct[d].plan.conductors)
    for f in choice.feeds:
        yield of_feed(problem, pricing.feeds[f], feed_currents_a(pricing, choice, pricing.feeds[f].slot))
    yield from (of_core(problem, core) for core in pricing.given)


def feed_currents_a(pricing: Pricing, choice: Choice, slot: int) -> tuple[float, ...]:
    """What the feed of a slot carries in each condition, with the worst spreads and what is kept spare."""
    members: Counter[int] = Counter()
    for o, times in choice.options:
        if pricing.options[o].slot == slot:
            members.update({g: n * times for g, n in pricing.options[o].candidate.members})
    return tuple(
        (_worst_ma(pricing, members, m) + pricing.slots[slot].spare_current_ma) / 1000.0
        for m in range(len(pricing.problem.conditions))
    )


def _worst_ma(pricing: Pricing, members: Counter[int], condition: int) -> int:
    heating = sum(n * pricing.heating_ma[g][condition] for g, n in members.items())
    spreads = sorted((pricing.spread_ma[g][condition] for g, n in members.items() for _ in range(n)), reverse=True)
    return heating + sum(spreads[: pricing.problem.margins.robust])
