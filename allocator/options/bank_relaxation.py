"""A smaller problem that every layout of the true one also solves: its optimum is a bound, and often the answer.

Much of the size of a model comes from what seldom binds: the same circuit in either of two banks. Here the banks of
a unit are one. (Leaving out the contacts of bulkheads too was tried: it bound in two of four demonstration problems,
and then the whole model had to be solved after all.)
"""

from __future__ import annotations

from dataclasses import replace

from allocator.options.slots import milliamperes_up
from allocator.problem import OutputClass, Problem, UnitType


def with_banks_joined(problem: Problem) -> Problem:
    """The problem with the banks of each unit joined; the problem itself where that changes nothing.

    Joined banks keep the sum of their ratings. Functions are held no longer against ``bank``.
    """
    unit_types = tuple(_without_banks(unit_type, _reserve_a(problem, unit_type)) for unit_type in problem.unit_types)
    if unit_types == problem.unit_types:
        return problem
    functions = tuple(
        replace(f, against=tuple(kind for kind in f.against if kind != "bank"))
        for f in problem.functions
        if f.against != ("bank",)
    )
    return replace(problem, unit_types=unit_types, functions=functions)


def _reserve_a(problem: Problem, unit_type: UnitType) -> float:
    """Most that ``spare_current`` takes from the rating of a unit of the type, before ``hot`` and ``unit_use``."""
    reserves = [0.0]
    for unit in problem.units:
        for site in unit.sites if unit.type == unit_type.name else ():
            use = problem.margins.unit_use * unit_type.hot_share(problem.place_ambient_c(site))
            if use > 0.0:
                reserves.append(milliamperes_up(unit.spare_current_a) / 1000.0 / use)
    return max(reserves)


def _without_banks(unit_type: UnitType, reserve_a: float) -> UnitType:
    """A type with its banks joined. A unit's rating bears ``spare_current`` too, and no bank's rating does."""
    if not unit_type.banks:
        return unit_type
    joined: dict[OutputClass, list[str]] = {}
    for output in unit_type.outputs:
        joined.setdefault(replace(output, bank=None, pins=("any",)), []).extend(output.pins)
    if len({output.name for output in joined}) < len(joined):
        return unit_type  # one name for unlike outputs of two banks: spares by name would be counted wrong
    rated = {bank.name for bank in unit_type.banks}
    most = unit_type.continuous_a
    if all(output.bank in rated for output in unit_type.outputs):
        most = min(most, sum(bank.continuous_a for bank in unit_type.banks) + reserve_a)
    outputs = tuple(replace(output, pins=tuple(pins)) for output, pins in joined.items())
    return replace(unit_type, continuous_a=most, banks=(), outputs=outputs)
