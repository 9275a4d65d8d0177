"""Tiny problems that a careless model gets wrong.

A case is a folder of tests/cases/counter_examples. Each ``.diff`` in it is a problem; ``expected.toml`` says why it is
there, and under the name of each problem what its answer has to be. A new case is a new folder.
"""

from __future__ import annotations

import pytest

from allocator.checking import check
from allocator.layout import INFEASIBLE
from allocator.reading import read_problem
from allocator.search.solve import solve
from tests.case_folders import CASES, cases_of, problem_folder, problems_of
from tests.engine.agreement import agrees
from tests.engine.facts import beyond_the_oracle, expected, facts, unlike, why
from tests.oracle import least_by_cp_sat

COUNTER_EXAMPLES = CASES / "counter_examples"
PROBLEMS = [name.removeprefix("counter_examples/") for name in problems_of("counter_examples")]


@pytest.mark.parametrize("name", PROBLEMS)
def test_the_answer_is_the_one_expected(name: str) -> None:
    case, which = COUNTER_EXAMPLES / name.split("/")[0], name.split("/")[1]
    problem = read_problem(problem_folder(f"counter_examples/{name}"))
    layout = solve(problem)
    stated = expected(case)[which]
    assert "status" in stated
    assert list(unlike(stated, facts(layout))) == [], why(case)
    assert layout.status == INFEASIBLE or check(problem, layout).violations == ()
    assert layout.status == INFEASIBLE or layout.gap == 0.0
    assert beyond_the_oracle(case) or agrees(layout, least_by_cp_sat(problem))


def test_every_case_states_what_is_expected_of_each_of_its_problems() -> None:
    names = cases_of("counter_examples")
    there = {case: {name.split("/")[1] for name in PROBLEMS if name.split("/")[0] == case} for case in names}
    assert there == {case: set(expected(COUNTER_EXAMPLES / case)) for case in names}
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
