from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.advising.energy import balances
from tests.showing.samples import LAYOUT, PROBLEM


def balance(condition, problem=PROBLEM):
    return next(found for found in balances(problem, LAYOUT) if found.condition == condition)


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
    found = balances(replace(PROBLEM, sources=(*PROBLEM.sources, idle)), LAYOUT)
    assert [item.draw_a for item in found if item.source == "second"] == [0, 0]
    assert found[-1].hours_alone is None
