"""Cases of the constraint families: two problems each, ``fits.diff`` and ``fails.diff``, that differ in one number.

A case is called after its family, with a word behind a dot where a family has more than one. ``expected.toml``
beside them says why, adds up the objective by hand, and holds the answers.
"""

from __future__ import annotations

import tomllib
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from allocator.layout import FEASIBLE, INFEASIBLE, NOTHING_FOUND, OPTIMAL
from allocator.model import build, optimise
from allocator.model.separation import separate
from allocator.model.solver import run
from allocator.options import LazyRows, OptionList, list_options
from allocator.problem import Problem
from allocator.reading import read_problem
from tests.case_folders import CASES, cases_of, problem_folder

NAMES = tuple(cases_of("families"))
FITS, FAILS = "fits", "fails"


@dataclass(frozen=True)
class Answer:
    """What is, or should be, found: a status and the least objective in grams, None where there is no layout."""

    status: str
    objective_g: float | None


def family_of(case: str) -> str:
    """The family that a case is about."""
    return case.split(".")[0]


def folder(case: str, which: str) -> Path:
    """One problem folder of a case."""
    return problem_folder(f"families/{case}/{which}")


def problem(case: str, which: str) -> Problem:
    """The problem of one folder of a case."""
    return read_problem(folder(case, which))


def expected(case: str, which: str) -> Answer:
    """What the case says of one of its folders."""
    stated = tomllib.loads((CASES / "families" / case / "expected.toml").read_text(encoding="utf-8"))[which]
    return Answer(stated["status"], stated.get("objective_g"))


def whole(of: Problem) -> OptionList:
    """All options that the whole model of a problem has, with all lazy rows that a search comes to add."""
    lazy = LazyRows()
    while True:
        option_list = list_options(of, lazy=lazy)
        more = separate(option_list, optimise(option_list))
        if not more:
            return option_list
        lazy |= more


def answer(option_list: OptionList, without: Collection[str] = ()) -> Answer:
    """What the whole model of an option list says, with some families left out."""
    model = build(option_list, without)
    outcome = run(model)
    if outcome.values is None:
        return Answer(INFEASIBLE if outcome.infeasible else NOTHING_FOUND, None)
    values = outcome.values
    grams = model.constant_g + sum(value * values[variable.index] for variable, value in model.objective)
    return Answer(OPTIMAL if outcome.proven else FEASIBLE, round(grams, 3))
