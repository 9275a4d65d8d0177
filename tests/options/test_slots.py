"""Kinds of units and their slots: alike units are counted, places that will not do are left out."""

from __future__ import annotations

import pytest

from allocator.options.slots import Slot, milliamperes_down, milliamperes_up, slots, unit_groups_of
from allocator.problem import Bank, Fit, Place, Problem, Unit, UnitType
from tests.problem.samples import load, output, problem, unit, unit_type


def names(asked: Problem) -> list[tuple[str, ...]]:
    return [tuple(one.name for one in unit_group.units) for unit_group in unit_groups_of(asked)]


def where(asked: Problem) -> list[tuple[str, str, int]]:
    return [(slot.unit.name, slot.site, slot.copy) for slot in slots(asked, unit_groups_of(asked))]


def two_units(**changed: object) -> Problem:
    second = unit("rear", **{"sites": ("bench", "door"), **changed})
    return problem(units=(unit(sites=("door", "bench")), second))


def test_units_alike_but_for_their_name_are_one_kind() -> None:
    assert names(two_units()) == [("front", "rear")]


@pytest.mark.parametrize(
    "changed",
    [
        {"sites": ("bench",)},
        {"spare": (("light", 1),)},
        {"spare_current_a": 2.0},
    ],
    ids=str,
)
def test_units_that_differ_in_anything_the_answer_sees_are_told_apart(changed: dict[str, object]) -> None:
    assert names(two_units(**changed)) == [("front",), ("rear",)]


def test_units_that_differ_only_in_whether_they_must_be_fitted_are_one_kind_those_that_must_first() -> None:
    mixed = problem(units=(unit(fit=Fit.IF_NEEDED), unit("rear")))
    assert names(mixed) == [("rear", "front")]
    assert [unit_group.always for unit_group in unit_groups_of(mixed)] == [1]


def test_a_unit_with_a_pinned_load_stands_alone() -> None:
    units = tuple(unit(name) for name in ("front", "middle", "rear"))
    asked = problem(units=units, loads=(load(unit="middle"),))
    assert names(asked) == [("front", "rear"), ("middle",)]


def test_a_kind_says_how_many_of_it_must_be_fitted() -> None:
    always, if_needed = (
        unit_groups_of(two_units()),
        unit_groups_of(problem(units=(unit(fit=Fit.IF_NEEDED), unit("b", fit=Fit.IF_NEEDED)))),
    )
    assert [unit_group.always for unit_group in (*always, *if_needed)] == [2, 0]


def places(**bench: object) -> tuple[Place, ...]:
    return (Place(name="box"), Place(name="bench", **bench), Place(name="door"))  # type: ignore[arg-type]


def test_a_place_has_no_more_slots_of_a_kind_than_it_takes_units_or_there_are() -> None:
    three = tuple(unit(name) for name in ("a", "b", "c"))
    assert where(problem(units=three)) == [("a", "bench", 0)]
    assert where(problem(units=three, places=places(units=2))) == [("a", "bench", 0), ("a", "bench", 1)]
    assert len(where(problem(units=three, places=places(units=9)))) == 3
    assert where(problem(units=three, places=places(units=0))) == []


@pytest.mark.parametrize(("sealed", "expected"), [(True, 1), (False, 0)])
def test_a_wet_place_has_slots_of_sealed_units_only(sealed: bool, expected: int) -> None:
    asked = problem(places=places(wet=True), unit_types=(unit_type(sealed=sealed),))
    assert len(where(asked)) == expected


HOT = ((60.0, 1.0), (80.0, 0.5))


def only_slot(asked: Problem) -> Slot:
    (slot,) = slots(asked, unit_groups_of(asked))
    return slot


def hot_type(*banks: Bank) -> UnitType:
    outputs = [output(bank=banks[0].name)] if banks else [output()]
    return unit_type(*outputs, continuous_a=30.0, hot=HOT, banks=banks)


@pytest.mark.parametrize(("ambient_c", "share"), [(45.0, 1.0), (60.0, 1.0), (70.0, 0.75), (80.0, 0.5)])
def test_heat_takes_its_share_of_every_rating(ambient_c: float, share: float) -> None:
    slot = only_slot(
        problem(places=places(ambient_c=ambient_c), unit_types=(hot_type(Bank(name="A", continuous_a=20.0)),))
    )
    assert (slot.limit_ma, slot.bank_limit_ma) == (30_000 * share, (("A", 20_000 * share),))
    assert [group.rating_a for group in slot.classes] == [10.0 * share]


def test_above_the_last_point_there_is_no_slot() -> None:
    assert where(problem(places=places(ambient_c=80.1), unit_types=(hot_type(),))) == []


def test_a_pinned_pin_becomes_a_class_of_its_own_in_its_unit_only() -> None:
    units = (unit(), unit("rear", sites=("door",)))
    pinned, plain = slots(asked := problem(units=units, loads=(load(unit="front", output="A"),)), unit_groups_of(asked))
    assert [(group.pins, group.pinned) for group in pinned.classes] == [(("B",), False), (("A",), True)]
    assert [(group.pins, group.pinned) for group in plain.classes] == [(("A", "B"), False)]
    assert (pinned.outputs, plain.outputs) == (2, 2)


def test_what_is_kept_spare_is_known_to_the_slot() -> None:
    keeping: Unit = unit(spare=(("light", 1),), spare_current_a=2.5)
    slot = only_slot(problem(units=(keeping,)))
    assert (slot.spare, slot.spare_current_ma) == (1, 2500)


@pytest.mark.parametrize(
    ("current_a", "up", "down"),
    [(1.0, 1000, 1000), (1.0001, 1001, 1000), (0.9999, 1000, 999), (0.1 + 0.2, 300, 300), (4.35, 4350, 4350)],
)
def test_whole_milliamperes_are_rounded_to_the_safe_side(current_a: float, up: int, down: int) -> None:
    assert (milliamperes_up(current_a), milliamperes_down(current_a)) == (up, down)
