"""Tiny problems that a careless model gets wrong.

A case is a folder of tests/cases/counter_examples. Each folder in it is a problem; ``expected.toml`` says why it is
there, and under the name of each problem what its answer has to be. A new case is a new folder.
"""

from __future__ import annotations

import pytest

from allocator.checking import check
from allocator.layout import INFEASIBLE
from allocator.reading import read_problem
from allocator.solving import solve
from tests.engine.agreement import agrees
from tests.engine.facts import beyond_the_oracle, expected, facts, unlike, why
from tests.oracle import least_by_cp_sat
from tests.paths import ROOT

CASES = ROOT / "tests" / "cases" / "counter_examples"
PROBLEMS = sorted(path.parent.relative_to(CASES).as_posix() for path in CASES.glob("*/*/problem.toml"))


@pytest.mark.parametrize("name", PROBLEMS)
def test_the_answer_is_the_one_expected(name: str) -> None:
    folder = CASES / name
    problem = read_problem(folder)
    layout = solve(problem)
    stated = expected(folder.parent)[folder.name]
    assert "status" in stated
    assert list(unlike(stated, facts(layout))) == [], why(folder.parent)
    assert layout.status == INFEASIBLE or check(problem, layout).violations == ()
    assert layout.status == INFEASIBLE or layout.gap == 0.0
    assert beyond_the_oracle(folder.parent) or agrees(layout, least_by_cp_sat(problem))


def test_every_case_states_what_is_expected_of_each_of_its_problems() -> None:
    there = {case.name: {folder.name for folder in case.iterdir() if folder.is_dir()} for case in CASES.iterdir()}
    assert there == {case.name: set(expected(case)) for case in CASES.iterdir()}
    assert len(there) >= 25


def test_a_wrong_expectation_is_told() -> None:
    found = {"status": "optimal", "sites": {"box": "shelf"}, "feeds": {"box": {"fuse_a": 5.0}}}
    wrong = {"status": "infeasible", "sites": {"annex": "shelf"}, "feeds": {"box": {"fuse_a": 5.1}}}
    assert list(unlike(wrong, found)) == [
        "status: 'optimal', not 'infeasible'",
        "sites: no annex",
        "sites: units ['box'] are fitted",
        "feeds.box.fuse_a: 5.0, not 5.1",
    ]
