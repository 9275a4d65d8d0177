"""Layouts made by hand, beside what the engine makes of the same problem.

A case is a folder of tests/cases/by_hand: a problem, a ``layout.json`` made by hand, and an ``expected.toml`` that says
why it is there, which rules the layout breaks by how much, and what the engine's layout is like. A new case is a new
folder.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from allocator.checking import check
from allocator.layout import HAND_MADE, Layout
from allocator.reading import read_problem
from allocator.solving import solve
from tests.engine.facts import CLOSE, expected, facts, unlike, violations, why
from tests.paths import ROOT

CASES = ROOT / "tests" / "cases" / "by_hand"
NAMES = sorted(case.name for case in CASES.iterdir())


def by_hand(case: Path) -> Layout:
    return Layout.from_json((case / "layout.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", NAMES)
def test_the_check_names_rule_object_and_amount(name: str) -> None:
    case = CASES / name
    layout = by_hand(case)
    assert layout.status == HAND_MADE
    found = check(read_problem(case), layout).violations
    stated = [(v["rule"], v["object"], v["unit"], pytest.approx(v["amount"], abs=CLOSE)) for v in violations(case)]
    assert [(v.rule, v.object, v.unit, v.amount) for v in found] == stated, why(case)


@pytest.mark.parametrize("name", NAMES)
def test_the_engine_finds_a_layout_that_the_check_takes(name: str) -> None:
    case = CASES / name
    problem = read_problem(case)
    layout = solve(problem)
    assert list(unlike(expected(case)["engine"], facts(layout))) == [], why(case)
    assert check(problem, layout).clean


@pytest.mark.parametrize("name", NAMES)
def test_a_layout_that_breaks_a_rule_is_lighter_than_the_engine_s(name: str) -> None:
    case = CASES / name
    problem = read_problem(case)
    own = check(problem, by_hand(case)).objective_g
    least = solve(problem).objective_g
    assert own is not None
    assert least is not None
    # these are the layouts that would win if the rule were not there
    assert own < least if violations(case) else own == least
