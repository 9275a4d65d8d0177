"""The problem that a command is given, with a word on what in it may be a slip."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from allocator.commands.ending import note

if TYPE_CHECKING:
    from allocator.problem import Problem


def given_problem(path: Path) -> Problem:
    """Read the problem; warn on standard error of names that look alike.

    Raises
    ------
    ProblemError
        With every mistake found in it.
    """
    from allocator.problem.look_alikes import look_alikes
    from allocator.reading import read_problem

    problem = read_problem(path)
    for text in look_alikes(problem):
        note(f"warning: {text}")
    return problem
