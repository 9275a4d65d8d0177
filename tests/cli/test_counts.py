"""How often a run works out the same thing: counts of what is done for the problem that was asked about."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import wraps
from pathlib import Path
from typing import Any

import pytest

from allocator.checking import check, checker
from allocator.evaluation import network_volts, prepare, recompute, segment_lines
from allocator.layout import Layout
from allocator.problem import Problem
from allocator.routing import network
from tests.cli.running import allocator as run
from tests.paths import PROBLEMS
from tests.solved import demonstration, solved

NAME = "hill-climber"

STEPS = {
    "network": (network, "build_graph"),
    "check": (checker, "prepare"),
    "completion": (prepare, "_completed"),
    "figures": (recompute, "_totals"),
    "volts": (network_volts, "grid_of"),
    "bundles": (segment_lines, "_laid"),
}
"""By what is worked out, the one call that is made whenever it is."""

ONCE = {"network": 1, "check": 1, "completion": 1, "figures": 1, "volts": 2}
"""The rules look at the layout as it is stated; what is shown, at the completed one."""


@dataclass
class Calls:
    """What was worked out since the test began, and of what."""

    made: list[tuple[str, Any]] = field(default_factory=list)

    def counted(self, step: str, function: Callable[..., Any]) -> Callable[..., Any]:
        @wraps(function)
        def call(given: Any, *more: Any) -> Any:
            self.made.append((step, given))
            return function(given, *more)

        return call

    def of(self, problem: Problem, steps: tuple[str, ...] = (*ONCE,)) -> dict[str, int]:
        """How often each step was made for a problem."""
        found = Counter(step for step, of in self.made if (of if isinstance(of, Problem) else of.problem) == problem)
        return {step: found[step] for step in steps}

    def twice(self) -> list[str]:
        """Steps that were made again for the very same evaluation, or the very same problem."""
        found = Counter((step, id(of)) for step, of in self.made if step in ("network", "figures", "volts", "bundles"))
        return [step for (step, _), count in found.items() if count > 1]


@pytest.fixture
def layout(tmp_path: Path) -> Path:
    path = tmp_path / "layout.json"
    path.write_text(solved(NAME).to_json(), encoding="utf-8")
    return path


@pytest.fixture
def calls(monkeypatch: pytest.MonkeyPatch) -> Calls:
    """Calls from here on."""
    solved(NAME)  # not by way of what is counted
    found = Calls()
    for step, (module, name) in STEPS.items():
        monkeypatch.setattr(module, name, found.counted(step, getattr(module, name)))
    return found


def test_solve_evaluates_and_checks_its_layout_once(calls: Calls, tmp_path: Path) -> None:
    assert run("solve", PROBLEMS / NAME, "--out", tmp_path / "out").code == 0
    assert (calls.of(demonstration(NAME)), calls.twice()) == (ONCE, [])


def test_report_evaluates_and_checks_its_layout_once(calls: Calls, layout: Path, tmp_path: Path) -> None:
    assert run("report", PROBLEMS / NAME, layout, "--out", tmp_path / "out").code == 0
    assert (calls.of(demonstration(NAME)), calls.twice()) == (ONCE, [])


def test_check_evaluates_the_layout_once_with_headroom_too(calls: Calls, layout: Path) -> None:
    assert run("check", PROBLEMS / NAME, layout, "--headroom").code == 0
    assert (calls.of(demonstration(NAME)), calls.twice()) == (ONCE, [])


def test_explain_evaluates_and_checks_the_layout_once(calls: Calls, layout: Path) -> None:
    assert run("explain", PROBLEMS / NAME, "--layout", layout).code == 0
    steps = ("network", "check", "completion")
    assert (calls.of(demonstration(NAME), steps), calls.twice()) == (dict.fromkeys(steps, 1), [])


def test_explain_goes_on_with_the_check_of_the_layout_that_it_had_solved(calls: Calls) -> None:
    assert run("explain", PROBLEMS / NAME).code == 0
    steps = ("network", "check", "completion")
    assert (calls.of(demonstration(NAME), steps), calls.twice()) == (dict.fromkeys(steps, 1), [])


def test_each_check_recomputes_all_of_it(calls: Calls) -> None:
    """A report is handed on by who has it; nobody who asks for a check gets an older one."""
    problem, layout = demonstration(NAME), Layout.from_json(solved(NAME).to_json())
    first, second = check(problem, layout), check(problem, layout)
    steps = ("check", "completion", "figures", "volts")
    assert calls.of(problem, steps) == dict.fromkeys(steps, 2)
    assert first == second
    assert first.context is not second.context
