"""Circuits that lose too much on their wires between bundles as warm as was met."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.model.keys import WarmDrop
from allocator.model.rows import Row, at_most
from allocator.model.takers import tightest
from allocator.model.variables import Term, Variables
from allocator.options import WiringPlan
from allocator.options.lazy_rows import WarmBundle
from allocator.options.warmed_wires import bundled_in

Alternatives = tuple[str, int | str]


def drops_between_warm_bundles(v: Variables) -> Iterator[Row]:
    """``sum_o n[o] x[o] + N sum_e warm[e] <= N |E|`` per lazy set ``E`` of warm bundles, and ``N`` alike loads.

    The sum is over circuits that lose too much where all bundles of ``E`` that they pass are so warm.
    """
    for number, bundles in enumerate(v.option_list.lazy.warm):
        rows: dict[tuple[Alternatives, tuple[WarmBundle, ...]], tuple[int, list[Term]]] = {}
        for option in v.option_list.options:
            if number in option.plan.too_warm:
                member, n, loads = tightest(v, option)
                own: Alternatives = ("load", member)
                key = (own, _passed(v, option.plan, bundles))
                rows.setdefault(key, (loads, []))[1].append((v.take[option.index], float(n)))
        for direct in v.option_list.direct:
            if number in direct.plan.too_warm:
                key = (("direct", direct.load.name), _passed(v, direct.plan, bundles))
                rows.setdefault(key, (1, []))[1].append((v.direct[direct.index], 1.0))
        for ((kind, one), passed), (loads, terms) in rows.items():
            warm = [(v.warm[bundle], float(loads)) for bundle in passed]
            named = WarmDrop(passed[0].segment, number, kind, one, len(passed))
            yield at_most(named, [*terms, *warm], loads * len(passed))


def _passed(v: Variables, plan: WiringPlan, bundles: tuple[WarmBundle, ...]) -> tuple[WarmBundle, ...]:
    """Those of the bundles in which a wire of the plan lies."""
    inside = bundled_in(v.option_list.problem, plan)
    return tuple(bundle for bundle in bundles if bundle.segment in inside)
