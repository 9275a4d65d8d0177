"""The command ``explain``: what it prints, and how it ends."""

from __future__ import annotations

import json
import os
import signal
from dataclasses import replace
from unittest.mock import Mock

import pytest

import allocator.explaining.explanation
import allocator.explaining.why
import allocator.infeasibility.why_not
import allocator.search.solve
from allocator.checking import Violation, check
from allocator.explaining.forcing import Forced
from allocator.layout import FEASIBLE, NOTHING_FOUND, Layout
from allocator.reading import read_problem
from allocator.search.solve import InternalError
from tests.cli.running import allocator as run
from tests.explaining.test_why import NEARER
from tests.infeasibility.test_ways_out import folder
from tests.paths import PROBLEMS
from tests.solved import solved

HEAD = "nearer: why pump is where it is\npump is fed from pin 1 of unit rear at bench."


def test_a_load_is_explained() -> None:
    result = run("explain", NEARER, "pump")
    assert result.code == 0
    assert result.out.startswith(HEAD)
    assert "* unit front at shelf: 1 A over 10 A.\n" in result.out
    assert "in all branches +10.0" in result.out


def test_a_known_layout_is_explained_without_solving(tmp_path) -> None:
    assert run("solve", NEARER, "--out", tmp_path / "out").code == 0
    result = run("explain", NEARER, "pump", "--layout", tmp_path / "out" / "layout.json")
    assert result.code == 0
    assert result.err.splitlines()[0].startswith("1 of 2: the whole with pump on unit front")
    assert result.out.startswith(HEAD)


def test_a_layout_that_breaks_rules_is_explained_with_a_warning(tmp_path) -> None:
    assert run("solve", NEARER, "--out", tmp_path / "out").code == 0
    path = tmp_path / "out" / "layout.json"
    path.write_text(path.read_text().replace('"trip_a": 7.5', '"trip_a": 9.5'))
    result = run("explain", NEARER, "pump", "--layout", path)
    assert result.code == 0
    assert "warning: the layout breaks rules" in result.err


def test_without_a_load_the_dearest_compromises_are_listed() -> None:
    result = run("explain", NEARER)
    assert result.code == 0
    assert result.out.startswith("nearer: the costliest compromises\n")
    assert "* pump: unit front at shelf: 1 A over 10 A.\n" in result.out


def test_where_nothing_fits_it_says_why_and_ends_with_1() -> None:
    result = run("explain", folder("unit-rating"), "lamp")
    assert result.code == 1
    assert result.out.startswith("unit rating: infeasible\n")
    assert "1. Keep 1 A in reserve on 'front', not 2 A.\n" in result.out


def test_solve_says_the_same_ways_out() -> None:
    result = run("solve", folder("unit-rating"))
    assert result.code == 1
    assert "1. Keep 1 A in reserve on 'front', not 2 A.\n" in result.out


def test_a_wrong_name_ends_with_2_and_the_name_that_is_near() -> None:
    result = run("explain", NEARER, "pmup")
    assert (result.code, result.out) == (2, "")
    assert "Write 'pump' if that is meant" in result.err


@pytest.mark.parametrize(
    ("arguments", "key"),
    [((NEARER, "pump"), "elsewhere"), ((NEARER,), "compromises"), ((folder("bank"),), "ways_out")],
)
def test_the_answer_for_programs(arguments, key) -> None:
    body = json.loads(run("explain", *arguments, "--json").out)
    assert len(body[key]) >= 1


def test_what_a_way_out_changes_is_told_to_programs() -> None:
    body = json.loads(run("explain", folder("spare"), "--json").out)
    assert body["ways_out"][0]["changes"] == [
        {"table": "units", "row": "front", "field": "spare plain", "before": "1", "after": "0"}
    ]


def test_what_is_being_tried_is_told_on_standard_error() -> None:
    result = run("solve", folder("unit-rating"))
    said = result.err.splitlines()
    assert said[1] == (
        "In condition 'all on' the loads draw 11.0 A, 1.0 A over what all units together may carry after unit_use and "
        "reserve."
    )
    assert said[2] == "no layout is possible: proven; looking for reasons and ways out for 60 s at most"
    assert said[3].startswith("the smallest shortfall (")


def test_advice_has_what_the_search_has_left_of_the_time(monkeypatch) -> None:
    given = []
    why_not_of = allocator.infeasibility.why_not.why_not

    def why_not(problem, **how):
        given.append(how["time_limit_s"])
        return why_not_of(problem, **how)

    monkeypatch.setattr(allocator.infeasibility.why_not, "why_not", why_not)
    assert run("solve", folder("unit-rating"), "--time-limit", "30").code == 1
    assert run("explain", folder("unit-rating"), "--time-limit", "30").code == 1
    assert all(0.0 < seconds < 30.0 for seconds in given)
    assert len(given) == 2


def test_ctrl_c_while_looking_for_ways_out_leaves_the_verdict(monkeypatch) -> None:
    monkeypatch.setattr(allocator.infeasibility.why_not, "why_not", Mock(side_effect=KeyboardInterrupt))
    result = run("solve", folder("unit-rating"))
    assert result.code == 130
    assert result.out.startswith("unit rating: infeasible\nFor these inputs no layout is possible: proven")
    assert "Run 'allocator explain'" in result.out
    assert result.err.endswith("interrupted: there may be other ways out\n")


def test_ctrl_c_in_one_solve_ends_all_that_would_follow(monkeypatch, tmp_path) -> None:
    """The solver takes the signal and stops with what it has; the other site of the unit is not begun."""
    solves = []

    def forced(*given):
        force = given[2]
        solves.append(force)
        before = signal.signal(signal.SIGINT, lambda *_: None)
        os.kill(os.getpid(), signal.SIGINT)
        signal.signal(signal.SIGINT, before)
        return Forced(force, FEASIBLE, 2000.0, more_g=900.0, site=force.site)

    monkeypatch.setattr(allocator.explaining.explanation, "forced", forced)
    (tmp_path / "layout.json").write_text(solved("hill-climber").to_json())
    given = ("--layout", tmp_path / "layout.json")
    result = run("explain", PROBLEMS / "hill-climber", "engine computer", *given)
    assert (result.code, len(solves)) == (130, 1)
    assert result.out.startswith("Hill climber: why engine computer is where it is\n")
    assert result.err.endswith("interrupted: what was still being solved is left out, or not proven\n")


def test_a_layout_that_fails_its_own_check_is_never_explained(monkeypatch) -> None:
    broken = Violation(rule="trip", object="pump", amount=1.0, unit="A", text="trip of 'pump' is 1 A too high")
    report = check(read_problem(NEARER), Layout(problem="nearer", status="optimal"))
    error = InternalError(replace(report, violations=(broken,)))
    monkeypatch.setattr(allocator.explaining.why, "solve", Mock(side_effect=error))
    result = run("explain", NEARER, "pump")
    assert (result.code, result.out) == (70, "")
    assert "trip of 'pump' is 1 A too high" in result.err


@pytest.fixture
def finds_nothing(monkeypatch) -> None:
    """The search for a layout ends with nothing; changed problems are solved as ever."""
    nothing = Layout(problem="bank", status=NOTHING_FOUND)
    for module in (allocator.search.solve, allocator.explaining.why):
        monkeypatch.setattr(module, "solve", Mock(return_value=nothing))


@pytest.mark.usefixtures("finds_nothing")
@pytest.mark.parametrize("command", ["solve", "explain"])
def test_nothing_found_says_what_is_known_and_claims_nothing(command) -> None:
    result = run(command, folder("bank"))
    words = " ".join(result.out.split())
    assert result.code == 3
    assert "bank right of unit front at shelf" in words
    assert "1. Add a unit 'front 2'" in words
    assert "infeasible" not in words
    assert "no layout is possible" not in f"{words} {result.err}"


@pytest.mark.usefixtures("finds_nothing")
@pytest.mark.parametrize("command", ["solve", "explain"])
def test_nothing_found_says_so_to_programs_too(command) -> None:
    body = json.loads(run(command, folder("bank"), "--json").out)
    why = body["why"] if command == "solve" else body
    assert (body["status"], why["status"]) == ("nothing-found", "nothing-found")
    assert [one["over"] for one in why["shortfalls"]] == [1.0]
    assert why["ways_out"][0]["verified"]


def test_solve_tells_programs_why_there_is_no_layout() -> None:
    body = json.loads(run("solve", folder("together-needs"), "--json").out)
    assert body["status"] == "infeasible"
    assert body["why"]["shortfalls"][0]["limit"] == "loads of together 'pair' on a different unit from the rest"
    assert len(body["why"]["ways_out"]) == 1
    assert ["ratings"] in body["why"]["tried_in_vain"]
