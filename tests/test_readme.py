"""The README is run: its commands are the ones that CI runs, its example is solved and its output compared."""

from __future__ import annotations

import csv
import re

import pytest

from tests.cli.example import TEXT, fenced, write_example
from tests.cli.running import allocator
from tests.paths import ROOT


@pytest.fixture(scope="module")
def example(tmp_path_factory):
    return write_example(tmp_path_factory.mktemp("readme"))


def test_the_two_commands_are_there_word_for_word():
    for command in (
        "python3 -m venv .venv && .venv/bin/pip install -q . && .venv/bin/allocator solve problems/hill-climber",
        "python3 -m venv .venv && .venv/bin/pip install -q -e '.[test]' && .venv/bin/pytest",
    ):
        assert f"\n{command}\n" in TEXT


def test_the_worked_example_prints_what_is_printed_there(example):
    result = allocator("solve", example)
    assert result.code == 0
    for block in fenced("text"):
        assert block in result.out


def test_the_worked_example_passes_the_check_named_there(example, tmp_path):
    assert allocator("solve", example, "--out", tmp_path / "out").code == 0
    assert allocator("check", example, tmp_path / "out" / "layout.json").code == 0


def test_the_layout_by_hand_is_read_and_checked(example, tmp_path):
    (text,) = fenced("json")
    (tmp_path / "by-hand.json").write_text(text)
    result = allocator("check", example, tmp_path / "by-hand.json")
    assert result.code == 1, result.out
    assert "\n1 violation of the rules:\n" in result.out
    assert "return wire" in result.out


def test_the_way_from_a_spreadsheet_to_a_cut_list_is_one(tmp_path):
    rows = re.findall(r"^\| (.*) \|$", TEXT[: TEXT.index("## A worked example")], flags=re.MULTILINE)
    cells = [[cell.strip() for cell in row.split("|")] for row in rows]
    with (tmp_path / "my-loads.csv").open("w", newline="") as stream:
        csv.writer(stream).writerows(cells)
    folder, out = tmp_path / "my-boat", tmp_path / "my-boat-out"
    assert allocator("demand", tmp_path / "my-loads.csv").code == 0
    imported = allocator("import", tmp_path / "my-loads.csv", folder)
    assert imported.code == 0
    assert "'Wire colour': carried along" in imported.out
    assert allocator("solve", folder).code == 2
    fill(folder / "loads.csv", "TBC", "4.5 A")
    fill(folder / "segments.csv", ",\n", ",1.8 m\n")
    assert allocator("solve", folder, "--out", out).code == 0
    with (out / "cut-list.csv").open() as stream:
        assert {"red", "brown"} <= {row["colour"] for row in csv.DictReader(stream)}
    with (folder / "loads.csv").open("a") as stream:
        stream.write("Radio,Cabin,2 A\n")
    later = tmp_path / "my-boat-later"
    assert allocator("revise", folder, out / "layout.json", "--out", later).code == 0
    assert "in place" in (later / "cut-list.csv").read_text()
    assert allocator("compare", folder, out / "layout.json", later / "layout.json").code == 0


def fill(path, wrong, right):
    text = path.read_text()
    assert wrong in text
    path.write_text(text.replace(wrong, right, 1) if wrong == "TBC" else text.replace(wrong, right))


def test_the_python_example_runs(example, monkeypatch, capsys):
    monkeypatch.chdir(example.parent)
    (code,) = fenced("python")
    exec(code, {})
    assert "0.5 mm2" in capsys.readouterr().out


def test_every_picture_is_there():
    pictures = re.findall(r"!\[[^]]+\]\(([^)]+)\)", TEXT)
    assert len(pictures) >= 2
    for picture in pictures:
        assert (ROOT / picture).read_bytes().startswith(b"\x89PNG")


def test_every_exit_code_of_the_command_is_explained():
    from allocator.commands import ending

    names = ("DONE", "NO", "WRONG_INPUT", "NOTHING_FOUND", "INTERNAL", "INTERRUPTED", "PIPE_CLOSED")
    codes = {getattr(ending, name) for name in names}
    assert codes == {int(code) for code in re.findall(r"^\| (\d+) \|", TEXT, flags=re.MULTILINE)}
