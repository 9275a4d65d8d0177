"""Layouts made by hand, beside what the engine makes of the same problem.

A case is a folder of tests/cases/by_hand: ``problem.diff``, a ``layout.json`` made by hand, and an ``expected.toml``
that says why it is there, which rules the layout breaks by how much, and what the engine's layout is like. It may say
that the layout is what is best where bundles do not count (``as_if_alone``), and how much lighter or dearer than the
engine's it is, as reckoned by hand. A new case is a new folder.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from allocator.checking import check
from allocator.evaluation.complete import complete
from allocator.layout import HAND_MADE, OPTIMAL, Circuit, Layout
from allocator.problem import Bundling, Problem
from allocator.reading import read_problem
from allocator.search.solve import solve
from tests.case_folders import CASES, cases_of, problem_folder
from tests.engine.facts import CLOSE, expected, facts, reckoned, unlike, violations, why

BY_HAND = CASES / "by_hand"
NAMES = cases_of("by_hand")


@cache
def problem_of(name: str) -> Problem:
    return read_problem(problem_folder(f"by_hand/{name}/problem"))


@cache
def solved(name: str) -> Layout:
    return solve(problem_of(name))


def by_hand(case: Path) -> Layout:
    return Layout.from_json((case / "layout.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", NAMES)
def test_the_check_names_rule_object_and_amount(name: str) -> None:
    case = BY_HAND / name
    layout = by_hand(case)
    assert layout.status == HAND_MADE
    found = check(problem_of(name), layout).violations
    stated = [(v["rule"], v["object"], v["unit"], pytest.approx(v["amount"], abs=CLOSE)) for v in violations(case)]
    assert [(v.rule, v.object, v.unit, v.amount) for v in found] == stated, why(case)


@pytest.mark.parametrize("name", NAMES)
def test_the_engine_finds_a_layout_that_the_check_takes(name: str) -> None:
    case = BY_HAND / name
    problem, layout = problem_of(name), solved(name)
    assert list(unlike(expected(case)["engine"], facts(layout))) == [], why(case)
    assert check(problem, layout).clean


@pytest.mark.parametrize("name", NAMES)
def test_a_layout_that_breaks_a_rule_is_lighter_than_the_engine_s(name: str) -> None:
    case = BY_HAND / name
    problem = problem_of(name)
    own = check(problem, by_hand(case)).objective_g
    least = solved(name).objective_g
    assert own is not None
    assert least is not None
    lighter_g, dearer_g = reckoned(case, "lighter_by_g"), reckoned(case, "dearer_by_g")
    if violations(case):
        assert own < least  # these are the layouts that would win if the rule were not there
    if lighter_g is not None or not violations(case):
        assert own - least == pytest.approx((dearer_g or 0.0) - (lighter_g or 0.0), abs=CLOSE), why(case)


def sized(circuits: Iterable[Circuit]) -> dict[tuple[str, ...], list[tuple[str, str, tuple[str, ...]]]]:
    """Size and way of every wire, by the loads of its circuit."""
    return {circuit.loads: [(wire.role, wire.size, wire.route) for wire in circuit.wires] for circuit in circuits}


AS_IF_ALONE = [name for name in NAMES if reckoned(BY_HAND / name, "as_if_alone")]


@pytest.mark.parametrize("name", AS_IF_ALONE)
def test_a_layout_as_if_each_wire_lay_alone_is_the_best_where_bundles_do_not_count(name: str) -> None:
    problem, layout = problem_of(name), by_hand(BY_HAND / name)
    assert problem.margins.bundle is not Bundling.NONE
    none = replace(problem.margins, bundle=Bundling.NONE, bundle_wires=None, bundle_loading=None)
    ignoring = replace(problem, margins=none)
    best = solve(ignoring)
    own = complete(ignoring, layout)
    assert best.status == OPTIMAL
    assert check(ignoring, layout).clean
    assert check(ignoring, layout).objective_g == best.objective_g
    assert sized(own.circuits) == sized(best.circuits)


def test_there_are_layouts_that_ignore_bundles() -> None:
    assert len(AS_IF_ALONE) >= 3
