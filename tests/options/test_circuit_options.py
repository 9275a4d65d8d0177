"""Which options a circuit has at a slot: one for all classes that do by the same wire, none that another beats."""

from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.options import Option, bank_matters, list_options
from allocator.problem import Bank, Bulkhead, ContactSet, Function, Problem, Segment, UnitType
from tests.engine.draws import ALL, SMALL, draw
from tests.problem.samples import load, output, problem, unit_type

LIGHT = output("light", pins=("A",))
HEAVY = output("heavy", pins=("B", "C"), continuous_a=20.0)


def accepted(asked: Problem) -> list[tuple[list[str], int]]:
    """Names of the classes that each option accepts, and how many outputs it takes."""
    option_list = list_options(asked)
    return [(sorted(f"{slot_class(option_list, o, q)}" for q in o.classes), o.outputs) for o in option_list.options]


def slot_class(option_list: object, option: Option, number: int) -> str:
    group = option_list.slots[option.slot].classes[number]  # type: ignore[attr-defined]
    return group.output.name if group.bank is None else f"{group.output.name} {group.bank}"


def one(kind: UnitType, **changed: object) -> Problem:
    return problem(**{"loads": (load(current_a=4.0),), "unit_types": (kind,), **changed})


def test_classes_that_do_by_the_same_wire_share_an_option() -> None:
    assert accepted(one(unit_type(LIGHT, HEAVY))) == [(["heavy", "light"], 1)]


def test_a_class_that_needs_a_heavier_wire_has_an_option_of_its_own() -> None:
    coarse = replace(HEAVY, wire_mm2=(2.0, 4.0))
    assert accepted(one(unit_type(LIGHT, coarse))) == [(["light"], 1), (["heavy"], 1)]


def test_unlike_trips_behind_the_same_wire_share_an_option() -> None:
    (option,) = list_options(one(unit_type(LIGHT, replace(HEAVY, trip_step_a=6.0)))).options
    assert option.trips == ((0, 5.0), (1, 6.0))


def test_an_option_on_several_outputs_names_its_class() -> None:
    kind = unit_type(replace(LIGHT, pins=("A", "B"), parallel=2), replace(HEAVY, pins=("C", "D"), parallel=2))
    options = list_options(one(kind, loads=(load(current_a=12.0),))).options
    assert sorted((o.outputs, o.takes) for o in options) == [(1, ()), (2, ((0, 2),))]


def banked(**limits_a: float) -> UnitType:
    banks = tuple(Bank(name=name, continuous_a=limit) for name, limit in limits_a.items())
    outputs = [output(pins=(f"{bank.name}1", f"{bank.name}2"), bank=bank.name) for bank in banks]
    return unit_type(*outputs, continuous_a=30.0, banks=banks)


@pytest.mark.parametrize(
    ("left_a", "matters"),
    [(16.0, False), (15.9, True)],  # two outputs of 10 A x 0.8
)
def test_classes_stay_inside_a_bank_where_its_rating_can_bind(left_a: float, matters: bool) -> None:
    asked = one(banked(left=left_a, right=16.0))
    assert bank_matters(asked, list_options(asked).slots[0]) is matters
    inside = [(["light left"], 1), (["light right"], 1)]
    assert accepted(asked) == (inside if matters else [(["light left", "light right"], 1)])


def test_a_bank_as_strong_as_the_unit_does_not_matter() -> None:
    weak_unit = replace(banked(left=12.0, right=12.0), continuous_a=12.0)
    asked = one(weak_unit)
    assert not bank_matters(asked, list_options(asked).slots[0])


def test_classes_stay_inside_a_bank_where_a_function_is_held_against_banks() -> None:
    function = Function(name="f", loads=("lamp",), survive=1, against=("unit",))
    free = one(banked(left=16.0, right=16.0), functions=(function,))
    held = replace(free, functions=(replace(function, against=("bank",)),))
    assert [len(accepted(asked)) for asked in (free, held)] == [1, 2]


def test_contacts_that_differ_in_resistance_are_traded_against_wire() -> None:
    sets = (
        ContactSet(count=1, wire_mm2=(0.5, 4.0), resistance_ohm=0.001),
        ContactSet(count=1, wire_mm2=(0.5, 4.0), resistance_ohm=0.03),
    )
    segments = (
        Segment(start="box", end="bench", length_m=1.0),
        Segment(start="bench", end="door", length_m=2.0, bulkhead="wall"),
    )
    asked = one(unit_type(LIGHT), bulkheads=(Bulkhead(name="wall", contacts=sets),), segments=segments)
    options = list_options(replace(asked, loads=(load(current_a=4.0, max_drop=0.025),))).options
    assert [(o.conductors[0].wire.size, [sorted(x.accepted) for x in o.crossings]) for o in options] == [
        ("1 mm2", [[0]]),
        ("2.5 mm2", [[0, 1]]),
    ]


def test_no_option_of_a_drawn_problem_is_beaten_by_another() -> None:
    compared = 0
    for seed in range(30):
        option_list = list_options(draw(seed, SMALL, ALL))
        for own in option_list.by_slot:
            for a in own:
                for b in own:
                    if a is b or a.candidate is not b.candidate or a.takes != b.takes or a.crossings or b.crossings:
                        continue
                    compared += 1
                    assert not (a.classes <= b.classes and b.outputs <= a.outputs and b.plan.price_g <= a.plan.price_g)
    assert compared > 100


def test_every_refusal_of_a_single_load_names_the_load_and_its_slot() -> None:
    option_list = list_options(one(unit_type(LIGHT, HEAVY), loads=(load(current_a=17.0),)))
    assert option_list.options == ()
    assert [(r.loads, r.slot, r.slot_class, r.asked, r.limit, r.unit) for r in option_list.refusals] == [
        (("lamp",), 0, 0, 17.0, 8.0, "A"),
        (("lamp",), 0, 1, 17.0, 16.0, "A"),
    ]


def test_options_as_a_table_carry_their_units_in_the_headings() -> None:
    table = list_options(one(unit_type(LIGHT, HEAVY))).frame()
    assert list(table["loads"]) == ["lamp"]
    assert list(table["classes"]) == ["light, heavy"]
    assert {"trip_a", "length_m", "copper_g", "drop_v"} <= {*table.columns}
