"""Folders that look odd and are good: each reads like its plain twin."""

from __future__ import annotations

import pytest

from allocator.reading import read_problem
from tests.case_folders import cases_of, files_of, problem_folder

CASES = cases_of("odd")


@pytest.mark.parametrize("case", CASES)
def test_an_odd_folder_reads_like_its_plain_twin(case: str) -> None:
    odd, plain = (read_problem(problem_folder(f"odd/{case}/{which}")) for which in ("folder", "twin"))
    assert odd == plain


@pytest.mark.parametrize("case", CASES)
def test_the_twins_are_not_written_alike(case: str) -> None:
    assert files_of(f"odd/{case}/folder") != files_of(f"odd/{case}/twin")


def test_there_are_enough_odd_folders() -> None:
    assert len(CASES) >= 10
