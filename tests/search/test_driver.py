"""A layout is looked for among the options of least reduced cost first; what is proven stays the same."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from allocator.layout import FEASIBLE, NOTHING_FOUND, OPTIMAL
from allocator.options import LazyRows
from allocator.problem import Bundling, Problem
from allocator.search import driver
from allocator.search.incumbent import Incumbent
from allocator.search.solve import Progress, Solution, solve
from tests.engine.draws import ALL, BESIDE, SMALL, draw
from tests.search.test_solve import RELAXED, WHOLE, listed, middling, solved

FEW = 60


@pytest.fixture
def looks(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> list[Solution]:
    """What comes of each look among few; on problems of this size there would be none."""
    solved(request.getfixturevalue("seed"))  # without any, to compare with
    found: list[Solution] = []
    optimise = driver.optimise

    def noted(option_list: Any, **how: Any) -> Solution:
        solution = optimise(option_list, **how)
        if len(option_list.options) <= FEW:
            found.append(solution)
        return solution

    monkeypatch.setattr(driver, "FEW", FEW)
    monkeypatch.setattr(driver, "FEW_A_LOAD", 0)
    monkeypatch.setattr(driver, "FIRST", 1)
    monkeypatch.setattr(driver, "MANY", 1)
    monkeypatch.setattr(driver, "optimise", noted)
    return found


@pytest.mark.parametrize("seed", [RELAXED, WHOLE, *range(3, 12)])
def test_the_same_optimum_is_proven(looks: list[Solution], seed: int) -> None:
    layout = solve(middling(seed))
    assert (layout.status, layout.objective_g) == (solved(seed).status, solved(seed).objective_g)
    if layout.status == OPTIMAL:
        assert looks


@pytest.mark.parametrize("seed", [RELAXED, WHOLE])
def test_the_proof_covers_all_that_was_listed(looks: list[Solution], seed: int) -> None:
    layout = solve(middling(seed))
    assert looks
    assert listed(layout) == listed(solved(seed))


@pytest.mark.parametrize("nothing", [True, False], ids=["nothing found by then", "a layout found by then"])
@pytest.mark.usefixtures("looks")
@pytest.mark.parametrize("seed", [RELAXED, WHOLE])
def test_an_interrupt_of_a_look_ends_the_search(monkeypatch: pytest.MonkeyPatch, seed: int, nothing: bool) -> None:
    optimise, solves = driver.optimise, []

    def stopped(option_list: Any, **how: Any) -> Solution:
        solves.append(option_list)
        solution = replace(optimise(option_list, **how), interrupted=True)
        return replace(solution, objective_g=None, status=NOTHING_FOUND) if nothing else solution

    monkeypatch.setattr(driver, "optimise", stopped)
    layout = solve(middling(seed))
    assert len(solves) == 1
    assert layout.status in ((NOTHING_FOUND,) if nothing else (FEASIBLE, OPTIMAL))
    # what was listed is said, not that the time was up before
    assert listed(layout) == listed(solved(seed))
    assert layout.bound_g is not None
    assert layout.bound_g <= (solved(seed).objective_g or 0.0) + 1e-6


def test_a_layout_as_light_as_what_is_proven_with_the_banks_joined_is_the_best() -> None:
    """No circuits of the solution with the banks joined can be dealt out, others of the same weight can."""
    layout = solve(draw(5140, SMALL, ALL | BESIDE))
    assert (layout.status, layout.bound_g) == (OPTIMAL, layout.objective_g)


def in_bundles(problem: Problem) -> Problem:
    return replace(problem, margins=replace(problem.margins, bundle=Bundling.HEAT))


@pytest.mark.parametrize(
    ("problem", "best_g"),
    [(middling(WHOLE), 100.0), (middling(RELAXED), None), (in_bundles(middling(WHOLE)), None)],
    ids=["a layout", "its banks are joined", "a bundle of it may be too warm"],
)
def test_best_is_only_said_of_a_layout(monkeypatch: pytest.MonkeyPatch, problem: Problem, best_g: float | None) -> None:
    """What a solve has found on the way may be less than a layout: its bound is told, and no best."""
    told: list[Progress] = []

    def optimise(_: Any, *, progress: Any, **__: Any) -> Solution:
        progress(Progress(100.0, 90.0, 0.1, 0.0))
        return Solution(status=NOTHING_FOUND)

    monkeypatch.setattr(driver, "optimise", optimise)
    solve(problem, progress=told.append)
    assert told[-1].best_g == best_g
    assert told[-1].bound_g is not None
    assert (told[-1].gap is None) == (best_g is None)


def test_rows_that_do_not_forbid_what_they_were_made_for_end_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is known by then stands, and is not called the best."""
    optimum_g, rounds = solved(WHOLE).objective_g, []

    def again(option_list: Any, _: Solution) -> LazyRows:
        rounds.append(option_list.lazy)
        return LazyRows(cables={0: 2})

    def nothing(_: Any, loose: Any, first: Solution, *__: Any) -> tuple[Incumbent, LazyRows]:
        return Incumbent(loose, replace(first, objective_g=None, status=NOTHING_FOUND), loose), LazyRows()

    monkeypatch.setattr(driver, "separate", again)
    monkeypatch.setattr(driver, "fix_and_optimise", nothing)
    layout = solve(middling(WHOLE))
    assert len(rounds) == 2
    assert layout.status == NOTHING_FOUND
    assert layout.bound_g == pytest.approx(optimum_g)
