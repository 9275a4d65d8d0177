"""Banks joined: every layout of the true problem is one of this relaxation, and costs no more there."""

from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.options import list_options, with_banks_joined
from allocator.problem import Bank, Function, Problem, UnitType
from tests.engine.draws import SMALL, draw
from tests.model.cases import answer
from tests.problem.samples import load, output, problem, unit, unit_type

FEATURES = frozenset({"banks", "bridge", "parallel", "functions", "spread", "spare_current", "spares", "hot", "pins"})


def test_the_relaxation_is_never_dearer_than_the_whole_model() -> None:
    feasible, dearer = 0, []
    for seed in range(40):
        drawn = draw(seed, SMALL, FEATURES, chance=0.8)
        if with_banks_joined(drawn) is drawn:
            continue
        whole, loose = answer(list_options(drawn)), answer(list_options(drawn, banks_joined=True))
        if whole.objective_g is None:
            continue
        feasible += 1
        if loose.objective_g is None or loose.objective_g > whole.objective_g + 1e-6:
            dearer.append((seed, whole.objective_g, loose.objective_g))
    assert dearer == []
    assert feasible >= 6


def banked(left_a: float = 20.0, right_a: float = 15.0, **changed: object) -> UnitType:
    banks = (Bank(name="left", continuous_a=left_a), Bank(name="right", continuous_a=right_a))
    outputs = (output(pins=("A", "B"), bank="left"), output(pins=("C",), bank="right"))
    return unit_type(*outputs, continuous_a=50.0, banks=banks, **changed)


def joined(kind: UnitType, **changed: object) -> UnitType:
    return with_banks_joined(problem(unit_types=(kind,), **changed)).unit_types[0]


def test_a_problem_without_banks_is_its_own_relaxation() -> None:
    asked: Problem = problem()
    assert with_banks_joined(asked) is asked


def test_outputs_alike_but_for_their_bank_become_one_class() -> None:
    kind = joined(banked())
    assert [(o.name, o.bank, o.pins) for o in kind.outputs] == [("light", None, ("A", "B", "C"))]
    assert kind.banks == ()


def test_joined_banks_keep_the_sum_of_their_ratings_or_the_unit_its_own() -> None:
    assert joined(banked()).continuous_a == 35.0
    assert joined(banked(40.0, 30.0)).continuous_a == 50.0


def test_a_reserve_of_the_unit_is_added_to_what_its_banks_carry() -> None:
    keeping = unit(spare_current_a=4.0)
    assert joined(banked(), units=(keeping,)).continuous_a == pytest.approx(39.0)


def test_unlike_outputs_of_one_name_are_left_in_their_banks() -> None:
    kind = banked()
    unlike = replace(kind, outputs=(kind.outputs[0], replace(kind.outputs[1], continuous_a=12.0)))
    asked = problem(unit_types=(unlike,))
    assert with_banks_joined(asked) is asked


def test_functions_are_held_against_everything_but_banks() -> None:
    both = Function(name="both", loads=("lamp",), survive=1, against=("bank", "unit"))
    only = Function(name="only", loads=("lamp",), survive=1, against=("bank",))
    asked = problem(unit_types=(banked(),), functions=(both, only), loads=(load(),))
    assert [(f.name, f.against) for f in with_banks_joined(asked).functions] == [("both", ("unit",))]
