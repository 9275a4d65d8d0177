"""Problems without a layout: each is explained, and each way out is one.

A case is a folder under ``tests/cases/infeasible`` with one cause; ``expected.toml`` reckons it by hand.
"""

from __future__ import annotations

import tomllib
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from allocator import check, solve, why_not
from allocator.changes.change import applied
from allocator.infeasibility.proposals import HELPS, KINDS
from allocator.infeasibility.raised_limits import RAISED, raised
from allocator.infeasibility.trying import as_solved
from allocator.infeasibility.ways_out import ways_out
from allocator.infeasibility.why_not import Infeasibility
from allocator.layout import INFEASIBLE, NOTHING_FOUND, OPTIMAL
from allocator.model.elastic import Stretch, shortfalls
from allocator.model.limits import KINDS_OF_BUNDLE
from allocator.options import list_options
from allocator.problem import Problem
from allocator.reading import read_problem
from allocator.search.stopwatch import Stopwatch
from tests.case_folders import CASES, cases_of, problem_folder
from tests.engine.draws import ALL, SMALL, draw
from tests.oracle import least_by_cp_sat
from tests.solved import demonstration

WARM = problem_folder("by_hand/six-wires-each-sized-as-if-alone/problem")
NAMES = tuple(cases_of("infeasible"))


def folder(case: str) -> Path:
    return problem_folder(f"infeasible/{case}/problem")


@cache
def problem(case: str) -> Problem:
    return read_problem(folder(case))


@cache
def found(case: str) -> Infeasibility:
    answer = why_not(problem(case))
    assert answer is not None
    return answer


def stated(case: str) -> dict[str, object]:
    return tomllib.loads((CASES / "infeasible" / case / "expected.toml").read_text(encoding="utf-8"))


def test_there_are_twelve_causes_at_least() -> None:
    assert len(NAMES) >= 12


@pytest.mark.parametrize("case", NAMES)
def test_a_case_has_no_layout(case: str) -> None:
    assert solve(problem(case)).status == INFEASIBLE


@pytest.mark.parametrize("case", NAMES)
def test_a_case_is_explained(case: str) -> None:
    answer, expected = found(case), stated(case)
    assert answer.sentence == expected["sentence"]
    assert [one.text for one in answer.shortfalls] == expected["lacking"]
    assert [way.sentence for way in answer.ways] == expected["ways"]
    assert answer.ways
    assert (answer.least, answer.complete) == (True, True)


@pytest.mark.parametrize("case", NAMES)
def test_each_way_out_of_a_case_is_one(case: str) -> None:
    for way in found(case).ways:
        changed = way.apply(problem(case))
        layout = solve(changed)
        assert way.verified
        assert layout.status == OPTIMAL, way.sentence
        assert check(changed, layout).clean


@pytest.mark.parametrize("case", NAMES)
def test_no_change_of_a_way_out_is_idle(case: str) -> None:
    for way in found(case).ways:
        for idle in way.changes:
            fewer = tuple(change for change in way.changes if change is not idle)
            assert solve(applied(problem(case), fewer)).status == INFEASIBLE, way.sentence


@pytest.mark.parametrize("case", NAMES)
def test_a_way_out_says_what_would_be_written_where(case: str) -> None:
    for way in found(case).ways:
        for change in way.changes:
            assert change.table
            assert change.row
            assert change.before != change.after


WITH_A_LAYOUT = (demonstration("hill-climber", bundles=False), read_problem(WARM))
"""As if each wire lay alone, and in a bundle so warm that it costs copper."""


@pytest.mark.parametrize("asked", WITH_A_LAYOUT, ids=lambda asked: asked.name)
def test_a_problem_with_a_layout_has_no_reasons_against_it(asked: Problem) -> None:
    assert why_not(asked) is None


def test_ways_out_of_drawn_problems_are_ways_out_by_the_oracle_too() -> None:
    """The oracle of the tests shares nothing with the engine, nor with what proposes the changes."""
    tried, without = 0, []
    for seed in range(24):
        drawn = draw(seed, SMALL, ALL)
        answer = why_not(drawn, most=2)
        if answer is None:
            continue
        assert least_by_cp_sat(drawn) is None
        for way in answer.ways:
            assert least_by_cp_sat(way.apply(drawn)) is not None, (seed, way.sentence)
        tried += 1
        without += [] if answer.ways else [seed]
    assert tried >= 6
    assert without == []


def test_the_answer_as_tables() -> None:
    answer = found("unit-rating")
    frame = answer.frame()
    assert list(frame["way"]) == [1, 2, 2, 3]
    assert list(frame["table"]) == ["units", "units", "places", "unit_types"]
    assert answer.shortfall_frame().loc[0, ["over", "amount", "unit"]].to_list() == [1.0, 10.0, "A"]


def test_no_more_ways_are_looked_for_than_asked() -> None:
    trials = ways_out(problem("unit-rating"), 1, Stopwatch(None))
    assert len(trials.ways) == 1
    assert trials.complete


def test_every_kind_of_change_says_where_it_helps() -> None:
    assert {kind.name for kind in KINDS} == set(HELPS)


def test_time_that_is_up_is_said() -> None:
    answer = why_not(problem("unit-rating"), time_limit_s=0.0, status=INFEASIBLE)
    assert answer is not None
    assert not answer.complete
    assert answer.reasons


def test_who_stops_it_gets_what_was_found_by_then() -> None:
    tried: list[str] = []
    answer = why_not(problem("unit-rating"), status=INFEASIBLE, progress=tried.append, stopped=lambda: len(tried) > 3)
    assert answer is not None
    assert not answer.complete
    assert tried[0] == "the smallest shortfall"
    assert tried[1] == f"a way out: {answer.ways[1].sentence}"
    assert tried[2] == f"trying: {answer.ways[0].sentence}"
    # what was tried by then, and the limit raised, for which nothing has to be tried
    assert [way.sentence for way in answer.ways] == [
        "Keep 1 A in reserve on 'front', not 2 A.",
        "Use a unit type like 'box' that carries 13 A in all, not 12 A.",
    ]
    assert [one.text for one in answer.shortfalls] == stated("unit-rating")["lacking"]


LIMITS = {
    "unit",
    "bank",
    "feed",
    "start",
    "outputs",
    "spare",
    "always",
    "site",
    "survive",
    "contacts",
    "studs",
    "together",
    *KINDS_OF_BUNDLE.values(),
}


def test_every_kind_of_limit_has_a_case_and_a_change_that_helps() -> None:
    assert {one.limit.kind for case in NAMES for one in found(case).shortfalls} == LIMITS
    assert {kind for helped in HELPS.values() for kind in helped} == LIMITS
    assert {*RAISED} == LIMITS - {"feed", "start", "spare", "together", *KINDS_OF_BUNDLE.values()}


RAISABLE = (
    "bank",
    "bulkhead-studs",
    "contacts",
    "function-source",
    "function-unit",
    "outputs",
    "site-room",
    "spare",
    "together",
    "unit-current",
    "unit-rating",
)
"""Cases of which every limit that is passed can simply be raised."""


@pytest.mark.parametrize("case", RAISABLE)
def test_limits_that_are_passed_are_raised_by_just_as_much(case: str) -> None:
    asked = problem(case)
    option_list = list_options(asked)
    stretch = shortfalls(option_list, unfed=[g.index for g in option_list.unfed])
    assert stretch is not None
    changes = raised(asked, option_list, stretch.shortfalls)
    assert changes
    assert as_solved(asked, changes, stretch, Stopwatch(None))
    assert solve(applied(asked, changes)).status == OPTIMAL
    for idle in changes:
        fewer = tuple(change for change in changes if change is not idle)
        assert solve(applied(asked, fewer)).status == INFEASIBLE


def test_a_search_that_found_nothing_is_explained_without_a_claim() -> None:
    answer = why_not(problem("bank"), status=NOTHING_FOUND)
    assert answer is not None
    assert not answer.proven
    assert [one.text for one in answer.shortfalls] == stated("bank")["lacking"]
    assert [way.sentence for way in answer.ways] == stated("bank")["ways"]


@pytest.mark.parametrize("asked", WITH_A_LAYOUT, ids=lambda asked: asked.name)
def test_where_nothing_has_to_be_passed_that_is_said(asked: Problem) -> None:
    """A search was stopped early; the problem has a layout, and nothing is called a reason."""
    answer = why_not(asked, status=NOTHING_FOUND)
    assert answer is not None
    assert (answer.reasons, answer.shortfalls, answer.ways, answer.proven) == ((), (), (), False)
    assert answer.sentence == "No limit that ties circuits together has to be broken: there may well be a layout."


def test_without_time_no_reason_is_known_and_none_is_made_up() -> None:
    answer = why_not(problem("bank"), time_limit_s=0.0, status=NOTHING_FOUND)
    assert answer is not None
    assert answer.sentence == "No reason is known: time ran out before one was found."
    assert (answer.least, answer.complete, answer.proven) == (False, False, False)


def test_what_was_tried_in_vain_is_kept() -> None:
    answer = found("together-needs")
    assert ("ratings",) in answer.vain
    assert ("together",) not in answer.vain


def test_loads_that_become_alike_by_a_change_are_found_again() -> None:
    """Two lamps differ by their function alone; without it they are one group, and all numbers behind move up."""
    asked = problem("function-unit")
    lamp = asked.loads[0]
    loads = (*(replace(lamp, name=name, item=name, current_a=1.0) for name in ("a", "b")), *asked.loads)
    function = replace(asked.functions[0], loads=("a",), survive=1)
    asked = replace(asked, loads=loads, functions=(function,))
    option_list = list_options(asked)
    stretch = shortfalls(option_list)
    assert stretch is not None
    changes = raised(asked, option_list, stretch.shortfalls)
    assert len(list_options(applied(asked, changes)).load_groups) < len(option_list.load_groups)
    assert as_solved(asked, changes, stretch, Stopwatch(None))


def with_two_outputs(case: str) -> Problem:
    """The problem of a case with unit types of two outputs alone."""
    asked = problem(case)
    types = tuple(
        replace(own, outputs=tuple(replace(one, pins=one.pins[:2]) for one in own.outputs)) for own in asked.unit_types
    )
    return replace(asked, unit_types=types)


def test_where_outputs_are_lacking_they_are_told_without_waiting_for_bundles(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = with_two_outputs("bundle")
    in_full = shortfalls(list_options(asked))
    assert in_full is not None and in_full.least
    assert {one.limit.kind for one in in_full.shortfalls} == {"bundle", "outputs"}
    monkeypatch.setattr("allocator.model.elastic.LAZY_ROWS_S", 0.0)
    at_once = shortfalls(list_options(asked))
    assert at_once is not None and at_once.least
    assert {one.limit.kind for one in at_once.shortfalls} == {"outputs"}


def test_a_reason_that_counts_is_kept_where_what_is_lacking_may_not_be_the_least(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def in_haste(*given: Any, **limits: Any) -> Stretch:
        stretch = shortfalls(*given, **limits)
        assert stretch is not None
        return replace(stretch, least=False)

    assert not found("outputs").reasons
    monkeypatch.setattr("allocator.infeasibility.why_not.shortfalls", in_haste)
    answer = why_not(problem("outputs"))
    assert answer is not None
    (reason,) = answer.reasons
    assert reason == "The loads take at least 3 outputs, and all units together have 2 besides spare ones."


def test_a_fault_that_can_be_mended_is_mended_before_any_search_for_what_is_lacking() -> None:
    tried: list[str] = []
    answer = why_not(problem("stud-limit"), progress=tried.append)
    assert answer is not None
    assert tried == [f"{what}: {way.sentence}" for way in answer.ways for what in ("trying", "a way out")]
