"""The clock that loops ask, and calls that are left behind: limits are kept, and what stops proves nothing."""

from __future__ import annotations

import os
import signal
import threading
import time
from dataclasses import replace
from functools import cache

import pytest

from allocator import aside
from allocator.aside import left_behind, run_aside
from allocator.clock import TimeUpError, at_least, ends, heed_clock, left_s, until
from allocator.layout import FEASIBLE, INFEASIBLE, NOTHING_FOUND, OPTIMAL
from allocator.model import Progress, build, solver
from allocator.model.solver import run
from allocator.options import Cut, CutShort, list_options
from allocator.pareto_front import tradeoff
from allocator.problem import Bundling, Problem
from allocator.revising import revise
from allocator.routing import Network
from allocator.search.solve import solve
from benchmarks.machines import FEATURES, Size, machine

HANGS_S = 20.0
"""What takes so long beyond its limit hangs: this is no timing."""

SMALL = machine(Size(30, 2, 3), FEATURES)
MIDDLING = machine(Size(60, 3, 6), FEATURES)
IN_BUNDLES = replace(MIDDLING, margins=replace(MIDDLING.margins, bundle=Bundling.HEAT))


@cache
def large() -> Problem:
    return machine(Size(2000, 60, 60))


def test_without_a_limit_there_is_no_end() -> None:
    with until(None):
        heed_clock()
        assert left_s() is None


def test_an_inner_limit_never_ends_later_and_an_outer_one_comes_back() -> None:
    with until(10.0):
        outer = ends()
        with until(100.0):
            assert ends() == outer
        with until(0.0), pytest.raises(TimeUpError):
            time.sleep(0.001)
            heed_clock()
        assert ends() == outer


def test_what_is_to_be_completed_has_its_time_however_late_it_is() -> None:
    with until(0.0), at_least(50.0):
        heed_clock()
        assert 40.0 < (left_s() or 0.0) <= 50.0


def test_a_call_that_hears_nothing_is_left_behind() -> None:
    over = threading.Event()
    with until(0.1), pytest.raises(TimeUpError):
        run_aside(lambda: over.wait(HANGS_S), heed_clock)
    assert left_behind()
    over.set()
    time.sleep(0.2)
    assert not left_behind()


def test_what_a_call_aside_raises_is_raised_here() -> None:
    def fail() -> None:
        raise LookupError("aside")

    with pytest.raises(LookupError, match="aside"):
        run_aside(fail, heed_clock)


@pytest.mark.parametrize(
    "long",
    [
        lambda: list_options(MIDDLING),
        lambda: list_options(IN_BUNDLES),
        lambda: Network(MIDDLING).routes(MIDDLING.places[0].name, MIDDLING.places[-1].name),
        lambda: Network(MIDDLING).tree(MIDDLING.places[0].name, [place.name for place in MIDDLING.places[3:9]]),
    ],
    ids=["options", "options in bundles", "routes", "trees"],
)
def test_every_long_loop_hears_that_the_time_is_up(long) -> None:
    with until(0.0), pytest.raises(TimeUpError):
        long()


def test_building_and_solving_hear_that_the_time_is_up() -> None:
    option_list = list_options(SMALL)
    with until(0.0), pytest.raises(TimeUpError):
        build(option_list)
    with until(0.0), pytest.raises(TimeUpError):
        run(build(option_list))


@pytest.mark.parametrize("limit_s", [0.0, 3.0])
def test_a_large_machine_ends_in_its_time_and_claims_nothing(limit_s: float) -> None:
    began = time.monotonic()
    layout = solve(large(), time_limit_s=limit_s)
    assert time.monotonic() - began < limit_s + HANGS_S
    assert (layout.status, layout.bound_g) == (NOTHING_FOUND, None)
    assert dict(layout.listed)["cut_short"] == (CutShort(Cut.TIME).text,)


@pytest.mark.parametrize("problem", [MIDDLING, IN_BUNDLES], ids=["each wire alone", "in bundles"])
def test_wherever_the_time_ends_it_nothing_false_is_claimed(problem) -> None:
    best = 0.0
    bounds = []
    for limit_s in (0.1, 0.5, 2.0):
        layout = solve(problem, time_limit_s=limit_s)
        assert layout.status in (OPTIMAL, FEASIBLE, NOTHING_FOUND)
        if layout.objective_g is not None:
            best = layout.objective_g if not best else min(best, layout.objective_g)
        bounds.append(layout.bound_g)
    assert all(bound is None or bound <= best + 1e-6 for bound in bounds if best)


def test_what_is_evident_needs_no_search() -> None:
    bare = replace(large(), places=tuple(replace(place, stud_a=place.stud_a and 1.0) for place in large().places))
    began = time.monotonic()
    layout = solve(bare, time_limit_s=HANGS_S)
    assert time.monotonic() - began < HANGS_S
    assert layout.status == INFEASIBLE


def test_where_highs_does_not_hear_its_best_so_far_stands(monkeypatch: pytest.MonkeyPatch) -> None:
    model = build(list_options(SMALL))
    heard, real = solver._Monitor.called, solver._Monitor.outcome
    behind = []

    def deaf(monitor: solver._Monitor, *told: object) -> None:
        if not monitor.interrupted:
            heard(monitor, *told)

    def press(progress: Progress) -> None:
        if progress.best_g is not None:
            os.kill(os.getpid(), signal.SIGINT)

    monkeypatch.setattr(solver, "GRACE_S", 0.0)
    monkeypatch.setattr(solver, "SECONDS_BETWEEN_REPORTS", 0.0)
    monkeypatch.setattr(aside, "INTERVAL_S", 0.001)
    monkeypatch.setattr(solver._Monitor, "called", deaf)
    monkeypatch.setattr(solver._Monitor, "outcome", lambda monitor: behind.append(real(monitor)) or behind[0])
    outcome = run(model, progress=press)
    assert behind == [outcome]
    assert outcome.interrupted
    assert not outcome.proven
    assert not outcome.infeasible
    assert outcome.values is not None
    assert len(outcome.values) == len(model.columns)
    reached = sum(grams * outcome.values[column.index] for column, grams in model.objective)
    assert outcome.bound_g is None or outcome.bound_g <= reached + 1e-6
    for _, row in model.rows:
        left = sum(factor * outcome.values[column.index] for column, factor in row.terms)
        over = {"<=": left - row.right, ">=": row.right - left, "=": abs(left - row.right)}[row.sense]
        assert over <= 1e-4


def test_answers_without_time_say_that_nothing_was_found() -> None:
    assert tradeoff(SMALL, time_limit_s=0.0).status == NOTHING_FOUND
    built = solve(SMALL, gap=1.0)
    assert revise(SMALL, built, time_limit_s=0.0).status == NOTHING_FOUND
