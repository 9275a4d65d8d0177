from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest

from allocator.analysis.unit_loading import loadings
from tests.reporting.samples import LAYOUT, PROBLEM


def loading(bank, problem=PROBLEM):
    return next(found for found in loadings(problem, LAYOUT) if found.bank == bank)


def test_a_dimmed_load_heats_like_the_root_of_its_level():
    # pump 4, lamps 2, dimmed 2 x sqrt(0.25)
    assert loading("right").current_a == pytest.approx((4.0 + 2.0 + 1.0, 2.0))


def test_a_bridge_load_counts_once_in_its_unit():
    moving = replace(PROBLEM, loads=tuple(replace(load, levels=(1.0, 1.0)) for load in PROBLEM.loads))
    assert loading("left", moving).current_a[0] == pytest.approx(20.0 + 6.0)


def test_the_limit_is_the_rating_at_the_site_less_the_reserve():
    # 65 degC lies half way between 1.0 at 50 and 0.5 at 80
    assert loading(None).limit_a == pytest.approx(60.0 * 0.75 - 2.0)
    assert loading("left").limit_a == pytest.approx(40.0 * 0.75)


def test_the_largest_spreads_come_on_top_as_many_as_asked_for():
    robust = replace(PROBLEM, margins=replace(PROBLEM.margins, robust=1))
    assert loading("right", robust).current_a[0] == pytest.approx(7.0 + 0.1 * 4.0)


def test_use_is_the_worst_condition_against_the_limit():
    assert loading("left").use == pytest.approx(20.0 / 30.0)


def test_current_without_any_limit_left_is_used_without_end():
    hot = tuple(replace(place, ambient_c=90.0) for place in PROBLEM.places)
    assert loading("left", replace(PROBLEM, places=hot)).use == inf


def test_what_the_problem_does_not_have_is_passed_over():
    (front,) = LAYOUT.units
    ghost = replace(LAYOUT.circuits[0], loads=("pump [x]", "ghost"))
    odd = replace(
        LAYOUT,
        units=(front, replace(front, name="ghost"), replace(front, name="rear", site="moon")),
        circuits=(ghost, *LAYOUT.circuits[1:]),
    )
    assert loadings(PROBLEM, odd) == loadings(PROBLEM, LAYOUT)
