from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.analysis.energy import energy
from tests.reporting.samples import LAYOUT, PROBLEM


def balance(condition, problem=PROBLEM):
    return next(found for found in energy(problem, LAYOUT).balances if found.condition == condition)


def test_draw_is_current_x_level_x_duty_of_all_that_is_fed_direct_loads_too():
    # pump 4 x 0.5, heater 20, lamps 2, dimmed 2 x 0.25, radio 3
    assert balance("day").draw_a == pytest.approx(2.0 + 20.0 + 2.0 + 0.5 + 3.0)


def test_surplus_is_what_charges_less_what_is_drawn():
    assert balance("day").surplus_a == pytest.approx(2.5)


def test_a_condition_in_which_nothing_charges_counts_as_none():
    assert balance("night").supply_a == 0.0
    assert balance("night").surplus_a == pytest.approx(-15.0)


def test_hours_alone_are_capacity_over_draw():
    assert balance("night").hours_alone == pytest.approx(90.0 / 15.0)


def test_without_supply_or_capacity_nothing_is_claimed():
    bare = replace(PROBLEM, sources=(replace(PROBLEM.sources[0], supply_a=(), capacity_ah=None),))
    assert balance("day", bare).surplus_a is None
    assert balance("day", bare).hours_alone is None


def test_an_idle_source_has_a_line_and_no_hours():
    idle = replace(PROBLEM.sources[0], name="second")
    found = energy(replace(PROBLEM, sources=(*PROBLEM.sources, idle)), LAYOUT).balances
    assert [item.draw_a for item in found if item.source == "second"] == [0, 0]
    assert found[-1].hours_alone is None


def test_the_loads_that_use_most_come_first_with_their_duty():
    most = energy(PROBLEM, LAYOUT).most("main", "day", 2)
    assert [(use.load, use.mean_a) for use in most] == [("heater", 20.0), ("radio", 3.0)]
    assert most[0].share == pytest.approx(20.0 / 27.5)


def test_the_uses_of_a_source_add_up_to_its_draw():
    whole = energy(PROBLEM, LAYOUT)
    for one in whole.balances:
        own = [use for use in whole.uses if (use.source, use.condition) == (one.source, one.condition)]
        assert sum(use.mean_a for use in own) == pytest.approx(one.draw_a)
        assert sum(use.share for use in own) == pytest.approx(1.0)


def test_what_the_problem_does_not_have_is_passed_over_and_what_is_unfed_named():
    ghost = replace(LAYOUT.circuits[0], loads=("ghost",))
    lost = replace(LAYOUT.circuits[0], unit="ghost")
    odd = energy(PROBLEM, replace(LAYOUT, circuits=(ghost, lost, *LAYOUT.circuits[1:])))
    assert odd.unfed == LAYOUT.circuits[0].loads
    assert all(use.load not in odd.unfed for use in odd.uses)


def test_a_load_fed_twice_from_one_source_counts_once():
    twice = replace(LAYOUT, circuits=(*LAYOUT.circuits, LAYOUT.circuits[0]))
    assert energy(PROBLEM, twice) == energy(PROBLEM, LAYOUT)


def test_frames_have_a_row_for_each_balance_and_use():
    whole = energy(PROBLEM, LAYOUT)
    frame = whole.frame().set_index("condition")
    assert frame.loc["night", "hours_alone"] == pytest.approx(6.0)
    assert frame.loc["day", "surplus_a"] == pytest.approx(2.5)
    assert list(whole.use_frame()["load"]) == [use.load for use in whole.uses]
