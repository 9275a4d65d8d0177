"""Bundles solved by watching what is overfull: the same answer as the model that holds every number of wires."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from allocator.bundling import bundled, looks, search
from allocator.checking import check
from allocator.checking.bundles import bundles
from allocator.choosing import Choice, choose
from allocator.choosing.choose import INFEASIBLE, OPTIMAL
from allocator.layout import NOTHING_FOUND, Layout
from allocator.pricing import Pricing
from allocator.problem import GivenWire, Problem, Segment
from allocator.reading import read_problem
from allocator.search import Clock
from allocator.solving import solve
from tests.choosing.cases import whole
from tests.engine.draws import ALL, SINGLE, SMALL, draw
from tests.paths import ROOT
from tests.test_solving import honest

FEW = replace(SMALL, loads=(3, 5), units=(1, 2))


def in_bundles(seed: int) -> Problem:
    drawn = draw(seed, FEW, ALL - {"straight"}, chance=0.2)
    return replace(drawn, margins=replace(drawn.margins, bundle=True, bundle_loading=1.0))


@pytest.mark.parametrize("first", range(0, 40, 10))
def test_the_answer_is_that_of_the_whole_model(first: int) -> None:
    solved = 0
    for seed in range(first, first + 10):
        problem = in_bundles(seed)
        if not problem.segments:
            continue
        exact = choose(whole(problem))
        found = bundled(problem, Clock(None), 0.0, None, None)
        assert found.choice.status == exact.status, seed
        assert found.choice.objective_g == pytest.approx(exact.objective_g), seed
        assert found.choice.status in (OPTIMAL, INFEASIBLE)
        solved += exact.status == OPTIMAL
    assert solved >= 2


# ---- a further wire ----------------------------------------------------------------------------------------------


def with_a_further_wire(problem: Problem, segment: Segment) -> Problem:
    """The problem with a thick wire that carries next to nothing, from end to end of a segment."""
    thickest = max(problem.wires.wires, key=lambda wire: wire.area_mm2)
    further = GivenWire(name="further", start=segment.start, end=segment.end, size=thickest.size, current_a=0.01)
    return replace(problem, given_wires=(*problem.given_wires, further))


def ruled_by_heat(seed: int) -> Problem:
    """A draw in which wires are sized by what they carry, and hardly by drop."""
    problem = in_bundles(seed)
    loads = tuple(replace(load, max_drop=None, min_volts_v=None) for load in problem.loads)
    return replace(problem, loads=loads, margins=replace(problem.margins, branch_drop=0.5, ampacity=0.5))


def test_a_further_wire_in_a_full_segment_never_gives_a_lighter_layout() -> None:
    heavier = compared = 0
    for seed in range(24):
        problem = ruled_by_heat(seed)
        before = solve(problem) if problem.segments else None
        if before is None or before.objective_g is None:
            continue
        fullest = max(bundles(problem, before), key=lambda bundle: bundle.wires)
        after = solve(with_a_further_wire(problem, problem.segments[fullest.segment]))
        if after.objective_g is not None:
            own_g = sum(run.copper_g or 0.0 for run in after.given if run.wire == "further")
            assert after.objective_g - own_g >= before.objective_g - 1e-3, (seed, fullest.name)
            heavier += after.objective_g - own_g > before.objective_g + 1e-3
            compared += 1
    assert compared >= 6
    assert heavier >= 2


# ---- a time limit ------------------------------------------------------------------------------------------------


@cache
def crowded(seed: int) -> tuple[Problem, Layout]:
    """A problem in bundles that takes more than a moment, and its proven layout."""
    drawn = draw(seed, SMALL, SINGLE - {"straight"}, chance=0.2)
    problem = replace(drawn, margins=replace(drawn.margins, bundle=True))
    return problem, solve(problem)


@pytest.mark.parametrize("seed", [0, 2, 3, 5, 6])
@pytest.mark.parametrize("limit_s", [0.0, 0.05, 0.3])
def test_with_a_layout_to_begin_from_a_time_limit_gives_one_that_is_as_good_and_honest(
    seed: int, limit_s: float
) -> None:
    problem, best = crowded(seed)
    rough = solve(problem, gap=0.3)
    for start in (best, rough):
        layout = solve(problem, time_limit_s=limit_s, start=start)
        assert check(problem, layout).violations == ()
        assert layout.objective_g is not None
        assert start.objective_g is not None
        assert layout.objective_g <= start.objective_g + 1e-3
        assert honest(layout, best.objective_g or 0.0)


def test_a_known_layout_is_kept_where_there_is_no_time_to_choose_its_wires_anew(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def rough(pricing: Pricing, *, gap: float, **more: object) -> Choice:
        return choose(pricing, gap=gap, **more) if gap == 0.0 else Choice(status=NOTHING_FOUND)  # type: ignore[arg-type]

    monkeypatch.setattr(looks, "choose", rough)
    for seed in (0, 2, 3, 5, 6):
        problem, best = crowded(seed)
        layout = solve(problem, time_limit_s=0.0, start=best)
        assert layout.objective_g == pytest.approx(best.objective_g), seed


def nothing_for_want_of_time(*_: object, **__: object) -> Choice:
    return Choice(status=NOTHING_FOUND, interrupted=True)


def test_where_the_search_at_a_set_of_sites_is_cut_short_the_bound_of_all_sets_still_holds(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(search, "choose", nothing_for_want_of_time)
    problem, best = crowded(2)
    layout = solve(problem)
    assert layout.bound_g is not None
    assert honest(layout, best.objective_g or 0.0)


# ---- a gap to stop at --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("gap", [0.2, 0.5])
def test_a_layout_found_at_a_gap_is_called_no_better_than_it_is_proven(gap: float) -> None:
    problem = in_bundles(52)
    best, layout = solve(problem), solve(problem, gap=gap)
    assert honest(layout, best.objective_g or 0.0)
    assert layout.gap is not None
    assert layout.gap <= gap


# ---- an interrupt ------------------------------------------------------------------------------------------------


def test_an_interrupt_while_no_solver_runs_gives_the_best_layout_so_far(monkeypatch: pytest.MonkeyPatch) -> None:
    problem, best = crowded(2)

    def pressed(*_: object) -> object:
        raise KeyboardInterrupt

    monkeypatch.setattr(search, "narrowed", pressed)
    layout = solve(problem)
    assert check(problem, layout).clean
    assert layout.objective_g is not None
    assert layout.bound_g is not None
    assert honest(layout, best.objective_g or 0.0)


def test_an_interrupt_while_wires_are_made_good_ends_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    problem, best = crowded(2)
    solves: list[Choice] = []

    def pressed(*arguments: object, **more: object) -> Choice:
        solves.append(replace(choose(*arguments, **more), interrupted="progress" not in more))  # type: ignore[arg-type]
        return solves[-1]

    monkeypatch.setattr(looks, "choose", pressed)
    found = bundled(problem, Clock(None), 0.0, None, None)
    assert found.choice.interrupted
    assert len(solves) == 2
    assert found.choice.objective_g >= (best.objective_g or 0.0) - 1e-3  # type: ignore[operator]


# ---- columns that rise -------------------------------------------------------------------------------------------


def test_where_no_wire_bears_the_raised_column_nothing_is_found_and_it_is_not_called_infeasible() -> None:
    problem = read_problem(ROOT / "tests" / "cases" / "by_hand" / "a-loading-above-the-stated-column")
    thin = replace(problem, wire_rules=replace(problem.wire_rules, sizes=("0.5 mm2",)))
    layout = solve(thin)
    assert (layout.status, layout.objective_g, layout.circuits) == (NOTHING_FOUND, None, ())
    assert layout.bound_g == pytest.approx(170.018)
    assert "shelf - bench to 80 %" in " ".join(dict(layout.listed)["cut_short"])
