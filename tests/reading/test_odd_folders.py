"""Folders that look odd and are good: each reads like its plain twin."""

from __future__ import annotations

from pathlib import Path

import pytest

from allocator.reading import read_problem

ODD = Path(__file__).parents[1] / "cases" / "odd"
CASES = sorted(case for case in ODD.iterdir() if case.is_dir())


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_an_odd_folder_reads_like_its_plain_twin(case: Path) -> None:
    assert read_problem(case / "folder") == read_problem(case / "twin")


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_twins_are_not_written_alike(case: Path) -> None:
    def written(folder: Path) -> dict[str, bytes]:
        return {file.name: file.read_bytes() for file in folder.iterdir()}

    assert written(case / "folder") != written(case / "twin")


def test_there_are_enough_odd_folders() -> None:
    assert len(CASES) >= 10
