from __future__ import annotations

from dataclasses import FrozenInstanceError, replace

import pytest

from allocator.checking import check
from allocator.layout import FEASIBLE, INFEASIBLE, NOTHING_FOUND, OPTIMAL
from allocator.pareto_front import Step, Tradeoff, tradeoff
from allocator.problem import Fit, Problem
from allocator.search import driver
from tests.engine.draws import ALL, TINY, draw
from tests.oracle.tradeoff import points_by_cp_sat, points_by_trying_all
from tests.solved import demonstration

TRADING = frozenset({"share", "parallel", "if needed", "several sites"})


@pytest.fixture(scope="module")
def car() -> Problem:
    return demonstration("hill-climber")


@pytest.fixture(scope="module")
def steps() -> list[Step]:
    """What is told while the points are looked for."""
    return []


@pytest.fixture(scope="module")
def traded(car, steps) -> Tradeoff:
    return tradeoff(car, progress=steps.append)


def points(found: Tradeoff) -> list[tuple[int, float]]:
    return [(p.outputs_used if found.against == "outputs" else p.units_fitted, p.copper_g) for p in found.points]


def test_hill_climber_has_two_points_each_proven(traded):
    assert points(traded) == [(26, 528.267), (27, 517.297)]
    assert (traded.status, traded.stopped) == (OPTIMAL, "")
    assert all(point.proven for point in traded.points)


def test_the_layout_of_each_point_passes_the_check_and_has_its_figures(car, traded):
    for point in traded.points:
        assert check(car, point.layout).clean
        assert point.layout.totals is not None
        assert point.layout.totals.copper_g == pytest.approx(point.copper_g, abs=1e-3)
        assert point.layout.totals.outputs_used == point.outputs_used


def test_no_point_beats_another(traded):
    counts, copper = zip(*points(traded), strict=True)
    assert list(counts) == sorted(set(counts))
    assert list(copper) == sorted(set(copper), reverse=True)


def test_against_units_there_is_one_point_where_one_unit_is_always_fitted():
    assert points(tradeoff(demonstration("hill-climber", bundles=False), against="units")) == [(1, 481.456)]


@pytest.mark.parametrize("against", ["outputs", "units"])
@pytest.mark.parametrize(
    ("features", "seeds"),
    [
        pytest.param(ALL, (2, 4, 7, 31, 46, 56), id="every feature"),
        pytest.param(TRADING, (2, 4, 6, 27, 31), id="trading"),
    ],
)
def test_drawn_problems_give_the_points_of_an_enumeration(features, seeds, against):
    several = 0
    for seed in seeds:
        problem = draw(seed, TINY, features, chance=1.0 if features is TRADING else 0.3)
        expected = points_by_cp_sat(problem, against)
        found = tradeoff(problem, against=against)
        assert [count for count, _ in points(found)] == [count for count, _ in expected]
        assert [grams for _, grams in points(found)] == pytest.approx([grams for _, grams in expected], abs=1e-3)
        assert found.status == (OPTIMAL if expected else INFEASIBLE)
        if len(problem.loads) == 2:
            assert points_by_trying_all(problem, against) == expected
        several += len(expected) > 1
    assert several >= 1


def test_so_do_they_where_options_are_fixed_and_a_layout_is_looked_for_among_few(monkeypatch) -> None:
    for name, number in {"FEW": 6, "FEW_A_LOAD": 0, "FIRST": 1, "MANY": 1}.items():
        monkeypatch.setattr(driver, name, number)
    for seed in (2, 4, 6, 27, 31):
        problem = draw(seed, TINY, TRADING, chance=1.0)
        expected = points_by_cp_sat(problem, "outputs")
        assert [grams for _, grams in points(tradeoff(problem))] == pytest.approx([g for _, g in expected], abs=1e-3)


def test_what_cannot_be_laid_out_has_no_points(car):
    heavy = replace(car, unit_types=tuple(replace(t, continuous_a=1.0) for t in car.unit_types))
    found = tradeoff(heavy)
    assert (found.status, found.points) == (INFEASIBLE, ())


def test_without_time_it_is_said_that_points_may_be_missing(car):
    found = tradeoff(car, time_limit_s=0.0)
    assert found.status in (NOTHING_FOUND, FEASIBLE)
    assert "points with fewer outputs used may be missing" in found.stopped


@pytest.mark.usefixtures("traded")
def test_each_step_is_told_with_the_range_that_is_left(steps):
    assert steps[0] == Step(0, None, 26, None)
    assert [step.at_most for step in steps[1:]] == [26, 25]
    assert {step.first for step in steps[1:]} == {26}


def test_a_unit_that_is_fitted_if_needed_is_a_point_of_its_own():
    problem = draw(27, TINY, TRADING, chance=1.0)
    assert any(unit.fit is Fit.IF_NEEDED for unit in problem.units)
    assert len(tradeoff(problem, against="units").points) == 2


def test_it_is_against_outputs_or_units(car):
    with pytest.raises(ValueError, match="'amperes' is neither 'outputs' nor 'units'"):
        tradeoff(car, against="amperes")


def test_the_points_are_frozen_and_a_table(traded):
    with pytest.raises(FrozenInstanceError):
        traded.points[0].copper_g = 0.0
    assert list(traded.frame()["outputs_used"]) == [26, 27]
