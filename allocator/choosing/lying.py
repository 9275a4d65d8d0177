"""What lies in each segment: of a choice, or of all that could be chosen."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from allocator.choosing.choose import Choice
from allocator.pricing import Conductor, FeedOption, GivenCore, Pricing
from allocator.problem import Cables, Line, Problem
from allocator.routing import Route
from allocator.wiring import BundledWire


@dataclass(frozen=True, slots=True)
class Lying:
    """``count`` alike lines along a route; ``currents_a`` by condition, ``trip_a`` of trip or fuse (a given: current).

    ``beside``: it lies beside the bundles. ``ampacity_a`` is what it carries, with the factors of its route and of
    ``at_most`` cables side by side (None: as if alone).
    """

    route: Route
    count: int
    wire: BundledWire
    currents_a: tuple[float, ...]
    ampacity_a: float
    beside: bool
    at_most: int | None = None

    def at(self, condition: int) -> BundledWire:
        """The wire with what it carries in a condition."""
        return BundledWire(self.wire.wire, self.currents_a[condition], self.wire.trip_a)


def lies_beside(problem: Problem, line: Line) -> bool:
    """Whether a line lies beside the bundles."""
    return line is Line.CABLE and problem.margins.cables is Cables.BESIDE


def of_conductor(problem: Problem, own: Conductor) -> Lying:
    """A conductor of an option."""
    return Lying(
        own.route,
        own.count,
        BundledWire(own.wire, own.current_a, own.trip_a),
        own.currents_a,
        own.ampacity_a,
        lies_beside(problem, own.line),
        own.at_most,
    )


def of_feed(problem: Problem, feed: FeedOption, currents_a: tuple[float, ...] = ()) -> Lying:
    """A feed; what it carries is known of a choice only."""
    wire = BundledWire(feed.wire, max(currents_a, default=0.0), feed.fuse_a)
    beside = lies_beside(problem, Line.CABLE)
    return Lying(feed.route, 1, wire, currents_a, feed.ampacity_a, beside, feed.at_most)


def of_core(problem: Problem, core: GivenCore) -> Lying:
    """A core of a given wire: it carries the current given for it, in every condition."""
    currents = (core.current_a,) * len(problem.conditions)
    wire = BundledWire(core.wire, core.current_a, core.current_a)
    return Lying(core.route, 1, wire, currents, core.ampacity_a, lies_beside(problem, core.line), core.at_most)


@dataclass
class Segment:
    """What lies in one segment: in its bundle, and beside it."""

    bundle: list[Lying] = field(default_factory=list)
    cables: list[Lying] = field(default_factory=list)

    @property
    def side_by_side(self) -> int:
        """Cables that lie side by side; a bundle of wires counts as one."""
        return sum(own.count for own in self.cables) + bool(self.bundle)

    def wires(self, condition: int) -> list[BundledWire]:
        """Wires of the bundle one by one, with what they carry in a condition."""
        return [own.at(condition) for own in self.bundle for _ in range(own.count)]


def lying(pricing: Pricing, choice: Choice) -> dict[int, Segment]:
    """What a choice lays into each segment; those of nothing left out."""
    found: dict[int, Segment] = {}
    for own in _laid(pricing, choice):
        for e in own.route.segments:
            segment = found.setdefault(e, Segment())
            (segment.cables if own.beside else segment.bundle).append(own)
    return dict(sorted(found.items()))


def _laid(pricing: Pricing, choice: Choice) -> Iterator[Lying]:
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
