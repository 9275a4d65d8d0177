"""Problem folders made from a base and what differs: each change is made in one place, or refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests import case_folders
from tests.case_folders import CASES, CaseError, files_of, problem_folder, problems_of

BASE = {"loads.csv": b"load,current\nlamp,1 A\n\npump,2 A\nfan,2 A\n", "runs.csv": b"load,length\n"}


@pytest.fixture
def made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """Files that a diff makes of the base above."""
    (tmp_path / "bases" / "shed").mkdir(parents=True)
    (tmp_path / "group" / "case").mkdir(parents=True)
    for name, data in BASE.items():
        (tmp_path / "bases" / "shed" / name).write_bytes(data)
    monkeypatch.setattr(case_folders, "CASES", tmp_path)

    def files(diff: str, name: str = "one") -> dict[str, bytes]:
        (tmp_path / "group" / "case" / f"{name}.diff").write_text(diff)
        return files_of(f"group/case/{name}")

    return files


def test_lines_are_replaced_added_and_taken_away_where_they_stand(made) -> None:
    found = made("base: shed\n--- loads.csv\n-lamp,1 A\n+lamp,3 A\n@@\n pump,2 A\n+horn,4 A\n-fan,2 A\n")
    assert found == {**BASE, "loads.csv": b"load,current\nlamp,3 A\n\npump,2 A\nhorn,4 A\n"}


def test_a_file_is_left_out_another_is_new_and_one_is_written_whole(made) -> None:
    found = made("base: shed\n--- runs.csv\n+++ wires.csv\n+size\n+++ loads.csv\n+load\n")
    assert found == {"wires.csv": b"size\n", "loads.csv": b"load\n"}


def test_a_base_may_be_a_problem_beside_it_and_a_file_beside_it_is_put_over_whole(made, tmp_path: Path) -> None:
    made("base: shed\n--- loads.csv\n-fan,2 A\n")
    (tmp_path / "group" / "case" / "other").mkdir()
    (tmp_path / "group" / "case" / "other" / "runs.csv").write_bytes(b"\xff")
    found = made("base: one\n--- loads.csv\n-pump,2 A\n+pump,5 A\n", "other")
    assert found == {"loads.csv": b"load,current\nlamp,1 A\n\npump,5 A\n", "runs.csv": b"\xff"}


@pytest.mark.parametrize(
    ("diff", "told"),
    [
        ("--- loads.csv\n", "begins with '--- loads.csv'"),
        ("base: barn\n", "there is no base 'barn'"),
        ("base: shed\n--- loads.csv\n-lamp,9 A\n", "stands in 0 places"),
        ("base: shed\n--- loads.csv\n+horn,9 A\n", "stands in 0 places"),
        ("base: shed\n--- loads.csv\n-lamp,1 A\n+fan,2 A\n@@\n-fan,2 A\n", "stands in 2 places"),
    ],
)
def test_what_does_not_fit_its_base_is_refused(made, diff: str, told: str) -> None:
    with pytest.raises(CaseError, match=told):
        made(diff)


def test_every_base_is_used() -> None:
    names = problems_of("")
    firsts = {(CASES / f"{name}.diff").read_text(encoding="utf-8").splitlines()[0] for name in names}
    assert {path.name for path in (CASES / "bases").iterdir()} <= {line.removeprefix("base: ") for line in firsts}
    assert len(names) >= 600


def test_a_problem_folder_holds_its_files() -> None:
    folder = problem_folder("words/loads.kind/other")
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == files_of("words/loads.kind/other")
    assert b"constant power" in (folder / "loads.csv").read_bytes()


def test_no_problem_lies_whole_beside_the_bases() -> None:
    """Such a folder would be no case of any test."""
    whole = [path.parent for path in CASES.rglob("problem.toml") if path.parents[1] != CASES / "bases"]
    assert [folder for folder in whole if not folder.with_name(f"{folder.name}.diff").exists()] == []
