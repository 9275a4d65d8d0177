"""The machines that are timed: valid, the same every time, and solved to the same optimum by the textbook model."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import pytest

from allocator.checking import check
from allocator.options import list_options
from allocator.problem import Problem
from allocator.reading import read_problem
from allocator.search.solve import solve
from benchmarks.folders import write
from benchmarks.machines import FEATURES, PLAIN, TIGHT, Size, machine
from benchmarks.solvers import SOLVERS, by_cp_sat, by_highs
from benchmarks.textbook import Textbook

TINY = Size(12, 2, 3)
KINDS = pytest.mark.parametrize("features", [PLAIN, FEATURES, TIGHT], ids=["plain", "full", "tight"])


@KINDS
def test_a_seed_gives_one_machine_and_another_seed_another(features: frozenset[str]) -> None:
    assert machine(TINY, features, seed=4) == machine(TINY, features, seed=4)
    assert machine(TINY, features, seed=4) != machine(TINY, features, seed=5)


@KINDS
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_tiny_machine_is_proven_and_its_layout_is_clean(features: frozenset[str], seed: int) -> None:
    problem = machine(TINY, features, seed)
    layout = solve(problem)
    assert layout.status == "optimal"
    assert check(problem, layout).clean


@KINDS
def test_a_machine_has_the_size_asked_for(features: frozenset[str]) -> None:
    problem = machine(Size.of("30/2/3"), features)
    assert (len(problem.loads), len(problem.units)) == (30, 2)
    assert {len(unit.sites) for unit in problem.units} == {3}


def test_all_features_are_there() -> None:
    problem = machine(Size.of("60/3/6"), TIGHT)
    loads = problem.loads
    assert any(load.share for load in loads)
    assert any(load.together for load in loads)
    assert any(load.bridge for load in loads)
    assert any(load.unit for load in loads)
    assert any(load.spread for load in loads)
    assert any(load.current_a > 16.0 for load in loads), "none needs two outputs"
    assert problem.functions
    assert len(problem.sources) == 2
    assert len(problem.bulkheads) == 4
    assert problem.unit_types[0].banks


def test_a_folder_of_a_machine_is_read_back_the_same(tmp_path: Path) -> None:
    for features in (PLAIN, TIGHT):
        problem = machine(Size.of("30/2/3"), features)
        write(problem, tmp_path / str(len(features)))
        assert read_problem(tmp_path / str(len(features))) == Problem(
            **{f: getattr(problem, f) for f in Problem.__dataclass_fields__ if f not in ("defaults", "digest")}
        )


@pytest.mark.parametrize("seed", [1, 2])
def test_the_textbook_model_comes_to_the_same_optimum(seed: int) -> None:
    problem = machine(TINY, seed=seed)
    answer = Textbook(list_options(problem)).solve()
    assert answer.proven
    assert answer.objective_g == pytest.approx(solve(problem).objective_g, abs=1e-3)


def test_other_solvers_come_to_the_same_optimum_on_our_rows() -> None:
    from allocator.model import build

    model = build(list_options(machine(Size(8, 2, 2), FEATURES)))
    at_hand = [by for package, by in SOLVERS.values() if find_spec(package) is not None]
    assert {by_highs, by_cp_sat} <= set(at_hand)
    answers = [by(model, 60.0) for by in at_hand]
    assert all(answer.proven for answer in answers)
    assert [a.objective_g for a in answers] == pytest.approx([answers[0].objective_g] * len(answers), abs=1e-3)
