"""Folders with something wrong in them: each is refused with the whole text that stands beside it."""

from __future__ import annotations

from pathlib import Path

import pytest

from allocator.problem import ProblemError
from allocator.reading import read_problem

BROKEN = Path(__file__).parents[1] / "cases" / "broken"
FOLDERS = sorted(folder for folder in BROKEN.iterdir() if folder.is_dir())


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_a_broken_folder_is_refused_with_its_whole_report(folder: Path) -> None:
    with pytest.raises(ProblemError) as refusal:
        read_problem(folder)
    assert str(refusal.value) + "\n" == (folder / "expected.txt").read_text(encoding="utf-8")


def test_there_are_many_broken_folders() -> None:
    assert len(FOLDERS) >= 45


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_every_mistake_says_where_it_is_and_what_would_do(folder: Path) -> None:
    with pytest.raises(ProblemError) as refusal:
        read_problem(folder)
    for mistake in refusal.value.mistakes:
        assert mistake.table
        assert mistake.wrong
        assert mistake.remedy
        assert not mistake.remedy.endswith(".")
