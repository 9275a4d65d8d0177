"""Rules on what units, banks and ground studs carry in each condition."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.checking.report import Breach, number
from allocator.evaluation.context import Context
from allocator.evaluation.tolerance import excess


def unit_current(context: Context) -> Iterator[Breach]:
    """``current + spare_current <= continuous hot unit_use`` for every unit in every condition."""
    use = context.problem.margins.unit_use
    for name, unit in context.mounted.items():
        limit = unit.type.continuous_a * unit.hot * use
        for m, condition in enumerate(context.problem.conditions):
            current = context.heating_a(context.on_unit(name), m) + unit.unit.spare_current_a
            yield from _over(f"unit {name}", condition, current, limit)


def bank_current(context: Context) -> Iterator[Breach]:
    """``current <= continuous hot unit_use`` for every bank in every condition."""
    use = context.problem.margins.unit_use
    for name, unit in context.mounted.items():
        for bank in unit.type.banks:
            circuits = tuple(fed for fed in context.on_unit(name) if bank.name in fed.banks)
            limit = bank.continuous_a * unit.hot * use
            for m, condition in enumerate(context.problem.conditions):
                current = context.heating_a(circuits, m)
                yield from _over(f"bank {bank.name} of unit {name}", condition, current, limit)


def stud_current(context: Context) -> Iterator[Breach]:
    """Heating currents of the loads that return to a ground stud within its limit, in every condition."""
    for place in context.problem.places:
        if place.stud_a is None:
            continue
        loads = context.returning_to(place.name)
        for m, condition in enumerate(context.problem.conditions):
            current = sum(load.current_a * load.heating(m) for load in loads)
            yield from _over(f"stud {place.name}", condition, current, place.stud_a)


def _over(what: str, condition: str, current_a: float, limit_a: float) -> Iterator[Breach]:
    over = excess(current_a, limit_a)
    if over > 0.0:
        over_limit = f"{number(over)} A over its {number(limit_a)} A"
        text = f"{what} in {condition} carries {number(current_a)} A, {over_limit}"
        yield Breach(f"{what} in condition {condition}", over, "A", text)
