"""The demonstration problems, for benchmarks and tests that are not about bundles."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from allocator import Problem, read_problem
from allocator.problem import Bundling

PROBLEMS = Path(__file__).parents[1] / "problems"


def as_if_alone(problem: Problem) -> Problem:
    """The problem with bundles off: what is measured does not hang on them, and a proof takes seconds."""
    return replace(problem, margins=replace(problem.margins, bundle=Bundling.NONE))


def read_as_if_alone(folder: Path) -> Problem:
    """A folder with bundles off."""
    return as_if_alone(read_problem(folder))
