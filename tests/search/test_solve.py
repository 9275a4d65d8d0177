"""The whole way from a problem to a checked layout: two ways to a proof, limits, starts, interrupts, the same twice."""

from __future__ import annotations

import gc
import os
import signal
import subprocess
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from allocator.checking import check
from allocator.layout import FEASIBLE, INFEASIBLE, NOTHING_FOUND, OPTIMAL, Layout
from allocator.model import solver
from allocator.options import list_options, with_banks_joined
from allocator.problem import Fit, Place, Problem, Segment, Unit
from allocator.reading import read_problem
from allocator.search.solve import Progress, solve
from tests.engine.draws import SINGLE, SMALL, Size, draw
from tests.model.cases import FAILS, FITS, answer, folder, problem
from tests.paths import ROOT

MIDDLING = Size(loads=(22, 22), units=(3, 4), sites=(2, 3), places=(6, 6), outputs=(5, 7), classes=(2, 3))
WITH_BANKS = SINGLE | {"banks"}
RELAXED, WHOLE = 0, 2
"""Seeds of middling draws: one with banks to join, one without."""


@cache
def middling(seed: int) -> Problem:
    return draw(seed, MIDDLING, WITH_BANKS)


@cache
def solved(seed: int) -> Layout:
    return solve(middling(seed))


def listed(layout: Layout) -> object:
    return dict(layout.listed)["options"]


def honest(layout: Layout, optimum_g: float) -> bool:
    """Whether status, objective, bound and gap agree with each other and with what the optimum is known to be."""
    objective, bound, gap = layout.objective_g, layout.bound_g, layout.gap
    if bound is not None and bound > optimum_g + 1e-3:
        return False
    if objective is None:
        return layout.status == NOTHING_FOUND and gap is None and layout.circuits == ()
    if objective < optimum_g - 1e-3:
        return False
    if layout.status == OPTIMAL:
        return gap == 0.0 and bound == objective and abs(objective - optimum_g) <= 1e-3
    if bound is None or gap is None:
        return layout.status == FEASIBLE and bound is None and gap is None
    return layout.status == FEASIBLE and gap == pytest.approx((objective - bound) / objective, abs=1e-9)


# ---- two ways to a proof -----------------------------------------------------------------------------------------


def test_where_joined_banks_can_be_dealt_out_the_proof_covers_the_smaller_problem() -> None:
    banked = problem("enough_outputs.bridge", FITS)
    layout = solve(banked)
    loose, whole = list_options(banked, banks_joined=True), list_options(banked)
    assert len(loose.options) < len(whole.options)
    assert listed(layout) == len(loose.options)
    assert (layout.status, layout.objective_g) == (OPTIMAL, answer(whole).objective_g)


def bridge_motors_with_a_second_unit() -> Problem:
    """Four motors: joined, the nine outputs of the near unit feed all; in banks of three they feed three."""
    near = problem("enough_outputs.bridge", FAILS)
    far = Unit(name="far", type="box", sites=("bench",), source="battery", fit=Fit.IF_NEEDED)
    return replace(
        near,
        places=(*near.places, Place(name="bench")),
        segments=(*near.segments, Segment(start="shelf", end="bench", length_m=1.0)),
        units=(*near.units, far),
    )


def test_where_joined_banks_cannot_be_dealt_out_the_whole_model_is_solved() -> None:
    banked = bridge_motors_with_a_second_unit()
    layout = solve(banked)
    loose, whole = list_options(banked, banks_joined=True), list_options(banked)
    assert listed(layout) == len(whole.options)
    assert (layout.status, layout.objective_g) == (OPTIMAL, answer(whole).objective_g)
    assert (layout.objective_g or 0.0) > (answer(loose).objective_g or 0.0) + 1.0
    assert [circuit.unit for circuit in layout.circuits].count("far") == 1


def test_both_ways_find_the_optimum_of_the_whole_model_in_drawn_problems() -> None:
    dealt, differing = 0, []
    for seed in range(50):
        drawn = draw(seed, SMALL, frozenset({"banks", "bridge", "functions", "spread"}), chance=0.9)
        if with_banks_joined(drawn) is drawn:
            continue
        layout, whole = solve(drawn), list_options(drawn)
        if layout.status == OPTIMAL:
            dealt += listed(layout) == len(list_options(drawn, banks_joined=True).options)
        if whole.faults:
            assert layout.status == INFEASIBLE
        elif answer(whole).objective_g != (None if layout.objective_g is None else round(layout.objective_g, 3)):
            differing.append(seed)
    assert differing == []
    assert dealt >= 4


def test_a_layout_holds_what_the_problem_is_and_what_it_was_made_with() -> None:
    read = problem("enough_outputs", FITS)
    layout = solve(read)
    assert (layout.problem, layout.problem_sha256) == (read.name, read.digest)
    assert {name for name, _ in layout.made_with} == {"allocator", "highspy", "pulp"}
    assert layout.seconds is not None
    assert layout.seconds > 0


def test_no_layout_possible_is_said_and_nothing_is_made_up() -> None:
    layout = solve(problem("enough_outputs", FAILS))
    assert (layout.status, layout.objective_g, layout.bound_g, layout.gap) == (INFEASIBLE, None, None, None)
    assert (layout.units, layout.circuits, layout.totals) == ((), (), None)


# ---- limits ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", [RELAXED, WHOLE])
@pytest.mark.parametrize("limit_s", [0.0, 0.01, 0.1, 0.3])
def test_a_time_limit_gives_an_honest_status(seed: int, limit_s: float) -> None:
    layout = solve(middling(seed), time_limit_s=limit_s)
    assert honest(layout, solved(seed).objective_g or 0.0)


def test_a_time_limit_that_is_never_reached_changes_nothing() -> None:
    unlimited, limited = solved(WHOLE), solve(middling(WHOLE), time_limit_s=600.0)
    assert replace(limited, seconds=None) == replace(unlimited, seconds=None)


@pytest.mark.parametrize("seed", [RELAXED, WHOLE])
@pytest.mark.parametrize("gap", [0.02, 0.3])
def test_a_gap_is_kept_and_is_not_called_a_proof(seed: int, gap: float) -> None:
    layout = solve(middling(seed), gap=gap)
    assert layout.status in (OPTIMAL, FEASIBLE)
    assert layout.gap is not None
    assert layout.gap <= gap
    assert honest(layout, solved(seed).objective_g or 0.0)


@pytest.mark.parametrize("seed", [RELAXED, WHOLE])
def test_a_gap_of_what_is_above_a_figure_is_kept(seed: int) -> None:
    """Of 1 g above the figure a tenth is all that may be open; of a thousandth of the whole ten times as much."""
    best = solved(seed).objective_g or 0.0
    layout = solve(middling(seed), gap=0.1, above_g=best - 1.0)
    assert layout.objective_g is not None
    assert layout.bound_g is not None
    assert layout.objective_g - layout.bound_g <= 0.1 * abs(layout.objective_g - (best - 1.0)) + 1e-9
    assert honest(layout, best)


def test_a_wide_gap_is_used() -> None:
    layout = solve(middling(RELAXED), gap=0.3)
    assert (layout.status, (layout.gap or 0.0) > 0.0) == (FEASIBLE, True)


# ---- starts ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", [RELAXED, WHOLE])
def test_from_its_own_optimum_it_ends_at_the_same_optimum(seed: int) -> None:
    layout = solve(middling(seed), start=solved(seed))
    assert (layout.status, layout.objective_g) == (OPTIMAL, solved(seed).objective_g)


def test_from_a_worse_layout_it_ends_at_the_same_optimum() -> None:
    rough = ((seed, solve(middling(seed), gap=0.9)) for seed in range(20))
    seed, worse = next((n, layout) for n, layout in rough if (layout.gap or 0.0) > 0.001)
    assert (worse.objective_g or 0.0) > (solved(seed).objective_g or 0.0)
    layout = solve(middling(seed), start=worse)
    assert (layout.status, layout.objective_g) == (OPTIMAL, solved(seed).objective_g)


def test_a_start_that_no_longer_fits_is_left_aside() -> None:
    known = middling(WHOLE)
    loads = tuple(replace(x, current_a=1.3 * x.current_a, max_trip_a=None) for x in known.loads)
    heavier = replace(known, loads=loads)
    assert not check(heavier, solved(WHOLE)).clean
    fresh = solve(heavier)
    assert fresh.status == OPTIMAL
    layout = solve(heavier, start=solved(WHOLE))
    assert (layout.status, layout.objective_g) == (OPTIMAL, fresh.objective_g)


def test_a_start_from_another_problem_is_left_aside() -> None:
    layout = solve(middling(WHOLE), start=solve(problem("enough_outputs", FITS)))
    assert (layout.status, layout.objective_g) == (OPTIMAL, solved(WHOLE).objective_g)


# ---- progress and interrupts -------------------------------------------------------------------------------------


def test_progress_is_told_while_solving(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(solver, "SECONDS_BETWEEN_REPORTS", 0.0)
    told: list[Progress] = []
    solve(middling(WHOLE), progress=told.append)
    optimum = solved(WHOLE).objective_g or 0.0
    assert told
    assert all(x.bound_g is None or x.bound_g <= optimum + 1e-3 for x in told)
    assert all(x.best_g is None or x.best_g >= optimum - 1e-3 for x in told)
    assert [x.seconds for x in told] == sorted(x.seconds for x in told)


@pytest.mark.parametrize("begun", [False, True], ids=["from nothing", "from a known layout"])
def test_a_bound_is_told_before_anything_is_solved_and_never_falls(begun: bool) -> None:
    told: list[Progress] = []
    layout = solved(WHOLE)
    solve(middling(WHOLE), start=layout if begun else None, progress=told.append)
    bounds = [x.bound_g for x in told if x.bound_g is not None]
    assert len(bounds) == len(told)
    assert bounds == sorted(bounds)
    assert 0.0 < bounds[0] <= bounds[-1] <= (layout.objective_g or 0.0) + 1e-3
    if begun:
        assert told[0].best_g == pytest.approx(layout.objective_g)


@pytest.mark.parametrize("seed", [RELAXED, WHOLE])
def test_an_interrupt_gives_the_best_layout_so_far(monkeypatch: pytest.MonkeyPatch, seed: int) -> None:
    monkeypatch.setattr(solver, "SECONDS_BETWEEN_REPORTS", 0.0)
    before = signal.getsignal(signal.SIGINT)
    pressed: list[Progress] = []

    def press(_: object, found: Progress) -> None:
        # what a solve has found, be it a layout yet or not: with the banks joined it is completed to one
        if found.best_g is not None and not pressed:
            pressed.append(found)
            os.kill(os.getpid(), signal.SIGINT)

    monkeypatch.setattr("allocator.search.driver._Told.heard", press)
    layout = solve(middling(seed), progress=lambda _: None)
    assert pressed
    assert layout.status == FEASIBLE
    assert honest(layout, solved(seed).objective_g or 0.0)
    assert check(middling(seed), layout).clean
    assert signal.getsignal(signal.SIGINT) is before


def test_what_progress_raises_comes_out_of_solve(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(solver, "SECONDS_BETWEEN_REPORTS", 0.0)

    def fail(_: Progress) -> None:
        raise LookupError("no terminal")

    with pytest.raises(LookupError, match="no terminal"):
        solve(middling(WHOLE), progress=fail)


# ---- the same twice ----------------------------------------------------------------------------------------------

TWICE = """
import sys
from tests.search.test_solve import answers
print(answers(sys.argv[1:]))
"""


def answers(folders: list[str]) -> str:
    """Layouts of a middling draw and some folders, as text."""
    problems = (middling(WHOLE), *map(read_problem, folders))
    return "\n".join(replace(solve(problem), seconds=None).to_json() for problem in problems)


def test_the_same_problem_gives_the_same_layout_in_every_process() -> None:
    folders = [str(folder(case, FITS)) for case in ("enough_outputs.shared", "units_of_a_kind.always", "spread")]

    other_hashes = "1" if os.environ.get("PYTHONHASHSEED") != "1" else "2"
    environment = {**os.environ, "PYTHONHASHSEED": other_hashes, "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-c", TWICE, *folders]
    done = subprocess.run(command, env=environment, cwd=ROOT, capture_output=True, text=True, check=True)
    here = answers(folders)
    assert '"status": "optimal"' in here
    assert done.stdout == f"{here}\n"


def test_the_order_of_the_files_on_disk_does_not_matter(tmp_path: Path) -> None:
    source = folder("enough_outputs.shared", FITS)
    for name in sorted((path.name for path in source.iterdir()), reverse=True):
        (tmp_path / name).write_bytes((source / name).read_bytes())
    again = solve(problem("enough_outputs.shared", FITS))
    assert replace(solve(read_problem(tmp_path)), seconds=None).to_json() == replace(again, seconds=None).to_json()


def test_time_is_kept_back_in_each_solve_that_may_find_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    told = []
    run = solver.run

    def heard(*model: Any, **how: Any) -> Any:
        told.append(how["kept_back_s"])
        return run(*model, **how)

    monkeypatch.setattr(sys.modules["allocator.model.optimise"], "run", heard)
    assert solve(problem("unit_current", FITS), time_limit_s=40.0, kept_back_s=3.0).status == OPTIMAL
    assert told[0] == 3.0


def test_the_collector_is_left_as_it_was() -> None:
    before = gc.get_threshold()
    solve(draw(0, SMALL, SINGLE))
    assert gc.get_threshold() == before
