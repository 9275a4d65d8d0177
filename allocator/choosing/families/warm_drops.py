"""Circuits that lose too much on their wires between bundles as warm as was met."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.choosing.keys import WarmDrop
from allocator.choosing.rows import Row, at_most
from allocator.choosing.takers import tightest
from allocator.choosing.variables import Term, Variables
from allocator.pricing import Plan
from allocator.pricing.warm import bundled_in
from allocator.pricing.watch import Warm

Alternatives = tuple[str, int | str]


def drops_between_warm_bundles(v: Variables) -> Iterator[Row]:
    """``sum_o n[o] x[o] + N sum_e warm[e] <= N |E|`` per watched set ``E`` of warm bundles, and ``N`` alike loads.

    The sum is over circuits that lose too much where all bundles of ``E`` that they pass are so warm.
    """
    for number, bundles in enumerate(v.pricing.watch.warm):
        rows: dict[tuple[Alternatives, tuple[Warm, ...]], tuple[int, list[Term]]] = {}
        for option in v.pricing.options:
            if number in option.plan.too_warm:
                member, n, loads = tightest(v, option)
                own: Alternatives = ("load", member)
                key = (own, _passed(v, option.plan, bundles))
                rows.setdefault(key, (loads, []))[1].append((v.take[option.index], float(n)))
        for direct in v.pricing.direct:
            if number in direct.plan.too_warm:
                key = (("direct", direct.load.name), _passed(v, direct.plan, bundles))
                rows.setdefault(key, (1, []))[1].append((v.direct[direct.index], 1.0))
        for ((kind, one), passed), (loads, terms) in rows.items():
            warm = [(v.warm[bundle], float(loads)) for bundle in passed]
            named = WarmDrop(passed[0].segment, number, kind, one, len(passed))
            yield at_most(named, [*terms, *warm], loads * len(passed))


def _passed(v: Variables, plan: Plan, bundles: tuple[Warm, ...]) -> tuple[Warm, ...]:
    """Those of the bundles in which a wire of the plan lies."""
    inside = bundled_in(v.pricing.problem, plan)
    return tuple(bundle for bundle in bundles if bundle.segment in inside)
