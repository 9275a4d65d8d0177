from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.infeasibility.evident_infeasibilities import evident_infeasibilities
from allocator.options import Evident, list_options
from allocator.problem import Problem
from allocator.reading import read_problem
from tests.paths import PROBLEMS


@pytest.fixture(scope="module")
def car() -> Problem:
    return read_problem(PROBLEMS / "hill-climber")


def with_load(problem: Problem, place: int, **changes: object) -> Problem:
    loads = list(problem.loads)
    loads[place] = replace(loads[place], **changes)  # type: ignore[arg-type]
    return replace(problem, loads=tuple(loads))


def test_where_nothing_stands_in_the_way_nothing_is_said(car):
    assert evident_infeasibilities(list_options(car)) == ()


def test_a_load_that_no_output_carries_is_named_with_its_nearest_miss(car):
    name = car.loads[0].name
    found = evident_infeasibilities(
        list_options(
            with_load(car, 0, current_a=500.0, needs=(), share=None, inrush_a=None, inrush_s=None, stall_a=None)
        )
    )
    text = next(fault.text for fault in found if fault.what is Evident.UNFED)
    assert text.startswith(f"No output can feed '{name}'")
    assert "current over what the output carries after output_use, 500 A against" in text
    assert "class" in text


def test_more_current_than_all_units_may_carry_is_said_per_condition(car):
    types = tuple(replace(unit_type, continuous_a=1.0) for unit_type in car.unit_types)
    found = evident_infeasibilities(list_options(replace(car, unit_types=types)))
    assert [fault for fault in found if fault.text.startswith(f"In condition '{car.conditions[0]}' the loads draw")]


def test_a_unit_that_can_sit_nowhere_is_named(car):
    types = tuple(replace(unit_type, hot=((-40.0, 1.0), (-30.0, 0.5))) for unit_type in car.unit_types)
    found = evident_infeasibilities(list_options(replace(car, unit_types=types)))
    name = car.units[0].name
    assert found[0].text.startswith(
        f"Unit '{name}' cannot be mounted at any of its sites: '{car.units[0].sites[0]}' has "
    )
    assert f"and type '{car.units[0].type}' is rated only up to -30 degC" in found[0].text
