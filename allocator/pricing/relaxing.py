"""A smaller problem that every layout of the true one also solves: its optimum is a bound, and often the answer.

Much of the size of a model comes from what seldom binds: the same circuit in either of two banks. Here the banks of
a unit are one. (Leaving out the contacts of bulkheads too was tried: it bound in two of four demonstration problems,
and then the whole model had to be solved after all.)
"""

from __future__ import annotations

from dataclasses import replace

from allocator.problem import OutputClass, Problem, UnitType


def relaxation(problem: Problem) -> Problem:
    """The problem with the banks of each unit joined; the problem itself where that changes nothing.

    Joined banks keep the sum of their ratings. Functions are held no longer against ``bank``.
    """
    unit_types = tuple(_without_banks(unit_type) for unit_type in problem.unit_types)
    if unit_types == problem.unit_types:
        return problem
    functions = tuple(
        replace(f, against=tuple(kind for kind in f.against if kind != "bank"))
        for f in problem.functions
        if f.against != ("bank",)
    )
    return replace(problem, unit_types=unit_types, functions=functions)


def _without_banks(unit_type: UnitType) -> UnitType:
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
        most = min(most, sum(bank.continuous_a for bank in unit_type.banks))
    outputs = tuple(replace(output, pins=tuple(pins)) for output, pins in joined.items())
    return replace(unit_type, continuous_a=most, banks=(), outputs=outputs)
