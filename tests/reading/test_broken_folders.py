"""Folders with something wrong in them: each is refused with the whole text that stands beside it."""

from __future__ import annotations

import pytest

from allocator.problem import ProblemError
from allocator.reading import read_problem
from tests.case_folders import CASES, cases_of, problem_folder

BROKEN = cases_of("broken")


@pytest.mark.parametrize("case", BROKEN)
def test_a_broken_folder_is_refused_with_its_whole_report(case: str) -> None:
    with pytest.raises(ProblemError) as refusal:
        read_problem(problem_folder(f"broken/{case}/problem"))
    assert str(refusal.value) + "\n" == (CASES / "broken" / case / "expected.txt").read_text(encoding="utf-8")


def test_there_are_many_broken_folders() -> None:
    assert len(BROKEN) >= 45


@pytest.mark.parametrize("case", BROKEN)
def test_every_mistake_says_where_it_is_and_what_would_do(case: str) -> None:
    with pytest.raises(ProblemError) as refusal:
        read_problem(problem_folder(f"broken/{case}/problem"))
    for mistake in refusal.value.mistakes:
        assert mistake.table
        assert mistake.wrong
        assert mistake.remedy
        assert not mistake.remedy.endswith(".")
