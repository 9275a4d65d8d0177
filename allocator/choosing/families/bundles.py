"""Bundles of watched segments: the heat of their wires, or what is stated for them; and cables side by side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from allocator.choosing.keys import Beside, BundleHeat, BundleLoading, BundleWires, SideBySide
from allocator.choosing.lying import Lying, of_conductor, of_core, of_feed
from allocator.choosing.rows import Row, Variable, at_least, at_most, equal
from allocator.choosing.variables import Term, Variables, most_often
from allocator.pricing import Plan
from allocator.pricing.bench import stated
from allocator.problem import Bundling
from allocator.wiring import BundledWire, Surroundings, surroundings_of
from allocator.wiring.bundle_heat import BESIDE, SQUARES_STEP_MM2, TOLERANCE, beside_cable_a, square_mm2


@dataclass(frozen=True, slots=True)
class Taker:
    """What may lie in a segment by one variable (None: it lies there), of which group of alternatives.

    ``own`` is what one of it lays there. ``most``: how often it may be taken. Of a group at most ``choices`` are taken
    in all, counted by ``weight``.
    """

    variable: Variable | None
    own: tuple[Lying, ...]
    group: tuple[str, int | str]
    most: int = 1
    weight: int = 1
    choices: int = 1

    @property
    def wires(self) -> int:
        """How many wires it lays there."""
        return sum(one.count for one in self.own)

    def sum_of(self, amount: str, m: int = 0) -> float:
        raise NotImplementedError


def takers(v: Variables, e: int, *, beside: bool) -> list[Taker]:
    """All that may lie in the bundle of a segment, or beside it."""
    pricing, problem = v.pricing, v.pricing.problem
    found: list[Taker] = []

    def here(plan: Plan) -> tuple[Lying, ...]:
        laid = (of_conductor(problem, own) for own in plan.conductors if e in own.route.segments)
        return tuple(one for one in laid if one.beside is beside)

    for option in pricing.options:
        own = here(option.plan)
        if own:
            member, n = option.candidate.members[0]
            loads = len(pricing.alike[member].loads)
            most = most_often(pricing, option)
            found.append(Taker(v.take[option.index], own, ("load", member), most, n, loads))
    for direct in pricing.direct:
        own = here(direct.plan)
        if own:
            found.append(Taker(v.direct[direct.index], own, ("direct", direct.load.name)))
    for feed in pricing.feeds:
        if e in feed.route.segments and of_feed(problem, feed).beside is beside:
            found.append(Taker(v.feed[feed.index], (of_feed(problem, feed),), ("feed", feed.slot)))
    for n, core in enumerate(pricing.given):
        if e in core.route.segments and of_core(problem, core).beside is beside:
            found.append(Taker(None, (of_core(problem, core),), ("given", n)))
    return found
