"""The command ``explain``: what it prints, and how it ends."""

from __future__ import annotations

import json
from unittest.mock import Mock

import pytest

import allocator.advising.why
from allocator.checking import Report, Violation
from allocator.layout import Layout
from allocator.solving import InternalError
from tests.advising.test_ways_out import FOLDER
from tests.advising.test_why import NEARER
from tests.cli.running import allocator as run

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
    assert (result.code, result.err) == (0, "")
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
    assert result.out.startswith("nearer: the dearest compromises\n")
    assert "* pump: unit front at shelf: 1 A over 10 A.\n" in result.out


def test_where_nothing_fits_it_says_why_and_ends_with_1() -> None:
    result = run("explain", FOLDER / "unit-rating", "lamp")
    assert result.code == 1
    assert result.out.startswith("unit rating: infeasible\n")
    assert "1. Keep 1 A in reserve on 'front', not 2 A.\n" in result.out


def test_solve_says_the_same_ways_out() -> None:
    result = run("solve", FOLDER / "unit-rating")
    assert result.code == 1
    assert "1. Keep 1 A in reserve on 'front', not 2 A.\n" in result.out


def test_a_wrong_name_ends_with_2_and_the_name_that_is_near() -> None:
    result = run("explain", NEARER, "pmup")
    assert (result.code, result.out) == (2, "")
    assert "Write 'pump' if that is meant" in result.err


@pytest.mark.parametrize(
    ("arguments", "key"),
    [((NEARER, "pump"), "elsewhere"), ((NEARER,), "compromises"), ((FOLDER / "bank",), "ways_out")],
)
def test_the_answer_for_programs(arguments, key) -> None:
    body = json.loads(run("explain", *arguments, "--json").out)
    assert len(body[key]) >= 1


def test_what_a_way_out_changes_is_told_to_programs() -> None:
    body = json.loads(run("explain", FOLDER / "spare", "--json").out)
    assert body["ways_out"][0]["changes"] == [
        {"table": "units", "row": "front", "field": "spare plain", "before": "1", "after": "0"}
    ]


def test_help_ends_with_an_example() -> None:
    text = " ".join(run("explain", "--help").out.split())
    assert text.endswith("Example: allocator explain problems/clinic-van 'vaccine freezer' --layout van/layout.json")


def test_a_layout_that_fails_its_own_check_is_never_explained(monkeypatch) -> None:
    broken = Violation(rule="trip", object="pump", amount=1.0, unit="A", text="trip of 'pump' is 1 A too high")
    error = InternalError(Report(violations=(broken,), layout=Layout(problem="nearer", status="optimal")))
    monkeypatch.setattr(allocator.advising.why, "solve", Mock(side_effect=error))
    result = run("explain", NEARER, "pump")
    assert (result.code, result.out) == (70, "")
    assert "trip of 'pump' is 1 A too high" in result.err
