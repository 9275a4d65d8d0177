"""Ways out on the side of the units: ratings, outputs, what is kept free."""

from __future__ import annotations

from dataclasses import replace

from allocator.changes.change import ProblemChange
from allocator.changes.of_units import bank_rating, more_outputs, spare_current, spare_outputs, unit_rating
from allocator.infeasibility.knobs import Bench, Relief, site_share, unchanged, up_a
from allocator.model.keys import BankCurrent, FeedCurrent, FeedStart, Outputs, SpareLacking, SpareShared, UnitCurrent
from allocator.model.rows import Variable, at_most
from allocator.model.variables import spare_classes
from allocator.options import Slot, UnitGroup, milliamperes_down
from allocator.problem import Bank, OutputClass, Problem, UnitType

NEGLIGIBLE_A = 1e-9
"""No reserve: what tells kinds of unit apart that may all sit anywhere is less."""

MORE_OUTPUTS = 12
"""Outputs of a class that a way out may add."""


def _roomy(problem: Problem) -> Problem:
    """Units that carry all that their outputs do: a heavier feed is only listed where the unit has use for it."""

    def roomy(own: UnitType) -> UnitType:
        outputs = sum(len(output.pins) * output.continuous_a for output in own.outputs)
        return replace(own, continuous_a=max(own.continuous_a, 2.0 * outputs))

    return replace(problem, unit_types=tuple(roomy(own) for own in problem.unit_types))


def _ratings(bench: Bench) -> None:
    v = bench.v
    raised: dict[tuple[str, str | None], Variable] = {}
    limits: dict[int, int] = {}
    for slot in v.option_list.slots:
        own, share = bench.problem.unit_type[slot.unit.type], site_share(bench.problem, slot)
        if (own.name, None) not in raised:
            raised[own.name, None] = _raised_unit(bench, own)
            raised |= {(own.name, bank.name): _raised_bank(bench, own, bank) for bank in own.banks}
        limits[slot.index] = milliamperes_down(own.continuous_a * share)
    for key in (*bench.of(UnitCurrent), *bench.of(BankCurrent)):
        slot = v.option_list.slots[key.slot]
        bank = key.bank if isinstance(key, BankCurrent) else None
        if bank is None:
            bench.ease(key, (v.fit[slot.index], slot.limit_ma - limits[slot.index]))
        bench.ease(key, (raised[slot.unit.type, bank], -1000.0 * site_share(bench.problem, slot)))


def _raised_unit(bench: Bench, own: UnitType) -> Variable:
    def changes(more_a: float) -> tuple[ProblemChange, ...]:
        return (unit_rating(own, up_a(own.continuous_a + more_a)),)

    return bench.knob(1.0 / own.continuous_a, changes, None, whole=False)


def _raised_bank(bench: Bench, own: UnitType, bank: Bank) -> Variable:
    def changes(more_a: float) -> tuple[ProblemChange, ...]:
        return (bank_rating(own, bank.name, up_a(bank.continuous_a + more_a)),)

    return bench.knob(1.0 / bank.continuous_a, changes, None, whole=False)


def _outputs(bench: Bench) -> None:
    more: dict[object, Variable] = {}
    for key in bench.of(Outputs):
        slot = bench.v.option_list.slots[key.slot]
        own = bench.problem.unit_type[slot.unit.type]
        for group in (slot.classes[q] for q in key.classes):
            if not group.pinned:
                what = (own.name, group.output.name, group.bank)
                if what not in more:
                    more[what] = _more_of_class(bench, own, group.output)
                bench.ease(key, (more[what], -1.0))


def _more_of_class(bench: Bench, own: UnitType, output: OutputClass) -> Variable:
    def changes(more: float) -> tuple[ProblemChange, ...]:
        return (more_outputs(own, output, int(more)),)

    return bench.knob(1.0 / len(output.pins), changes, MORE_OUTPUTS)


def _spares(bench: Bench) -> None:
    for number, unit_group in enumerate(bench.v.option_list.unit_groups):
        own = [slot for slot in bench.v.option_list.slots if slot.unit_group == number]
        for name, asked in unit_group.sample.spare:
            if asked and own:
                knob = _fewer_spare(bench, unit_group, name, asked)
                for slot in own:
                    _give_up(bench, slot, name, asked, knob)
        if unit_group.sample.spare_current_a > NEGLIGIBLE_A:
            knob = _less_reserve(bench, unit_group)
            for slot in own:
                _use_reserve(bench, slot, unit_group.sample.spare_current_a, knob)


def _use_reserve(bench: Bench, slot: Slot, kept_a: float, knob: Variable) -> None:
    """Current in reserve on a slot that is used: no more than the knob says, and only where a unit sits."""
    used = bench.v.add(f"reserve{slot.index}", kept_a, False)
    bench.rows.append(at_most(f"reserve[{slot.index}]", [(used, 1.0), (knob, -1.0)], 0))
    fit = bench.v.fit[slot.index]
    bench.rows.append(at_most(f"reserve if fitted[{slot.index}]", [(used, 1.0), (fit, -kept_a)], 0))
    for key in (*bench.of(UnitCurrent), *bench.of(FeedCurrent), *bench.of(FeedStart)):
        if key.slot == slot.index:
            bench.ease(key, (used, -1000.0))


def _fewer_spare(bench: Bench, unit_group: UnitGroup, name: str, asked: int) -> Variable:
    def changes(given_up: float) -> tuple[ProblemChange, ...]:
        return (spare_outputs(unit_group.units, name, asked - int(given_up)),)

    return bench.knob(0.5 / asked, changes, asked)


def _less_reserve(bench: Bench, unit_group: UnitGroup) -> Variable:
    kept = unit_group.sample.spare_current_a

    def changes(less_a: float) -> tuple[ProblemChange, ...]:
        return (spare_current(unit_group.units, max(0.0, round(kept - up_a(less_a), 6))),)

    return bench.knob(0.5 / kept, changes, kept, whole=False)


def _give_up(bench: Bench, slot: Slot, name: str, asked: int, knob: Variable) -> None:
    """Spare outputs of a slot given up: no more than the knob says."""
    v, classes = bench.v, spare_classes(slot, name)
    given = v.add(f"given{slot.index},{name}", float(asked))
    bench.rows.append(at_most(f"given[{slot.index},{name}]", [(given, 1.0), (knob, -1.0)], 0))
    bench.rows.append(at_most(f"given if fitted[{slot.index},{name}]", [(given, 1.0), (v.fit[slot.index], -asked)], 0))
    free = sum(len(slot.classes[q].pins) for q in classes)
    if free < asked:
        bench.ease(SpareLacking(slot.index, name), (given, -1.0 / (asked - free)))
    elif len(classes) > 1:
        bench.ease(SpareShared(slot.index, name), (given, 1.0))
        return
    for key in bench.of(Outputs):
        if key.slot == slot.index and {*classes} & {*key.classes}:
            bench.ease(key, (given, -1.0))


SPARES = Relief("spares", unchanged, _spares)
RATINGS = Relief("ratings", _roomy, _ratings)
OUTPUTS = Relief("outputs", unchanged, _outputs)
