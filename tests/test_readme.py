"""The README is run: its commands are the ones that CI runs. The worked example is solved and its output compared."""

from __future__ import annotations

import csv
import re

from tests.cli.example import EXAMPLE, fenced, printed_now
from tests.cli.running import allocator
from tests.paths import ROOT

TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
COMMANDS = (ROOT / "allocator" / "commands" / "README.md").read_text(encoding="utf-8")


def test_the_two_commands_are_there_word_for_word():
    for command in (
        "python3 -m venv .venv && .venv/bin/pip install -q . && .venv/bin/allocator solve problems/hill-climber",
        "python3 -m venv .venv && .venv/bin/pip install -q -e '.[test]' && .venv/bin/pytest",
    ):
        assert f"\n{command}\n" in TEXT


def test_the_worked_example_prints_what_is_printed_there():
    result = allocator("solve", EXAMPLE)
    assert result.code == 0
    shown = fenced("text")
    assert len(shown) >= 2
    for block in shown:
        assert block in result.out


def test_what_is_printed_can_be_written_anew():
    was, now = "1 A\n\nTotals\n2 g\n", "Start\n\nTotals\n3 g\n\nMore\n"
    page = "```text\nTotals\n2 g\n```\n"
    assert (printed_now(page, was), printed_now(page, now)) == (page, page.replace("2 g", "3 g"))


def test_the_worked_example_passes_the_check_named_there(tmp_path):
    layout = tmp_path / "out" / "layout.json"
    assert allocator("solve", EXAMPLE, "--out", tmp_path / "out").code == 0
    assert allocator("check", EXAMPLE, layout).code == 0
    assert allocator("compare", EXAMPLE, EXAMPLE / "by-hand.json", layout).code == 0


def test_the_way_from_a_spreadsheet_to_a_cut_list_is_one(tmp_path):
    rows = re.findall(r"^\| (.*) \|$", TEXT[: TEXT.index("## What it does")], flags=re.MULTILINE)
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


def test_the_python_example_runs(monkeypatch, capsys):
    monkeypatch.chdir(ROOT)
    (code,) = fenced("python", TEXT)
    exec(code, {})
    assert "0.5 mm2" in capsys.readouterr().out


def test_every_command_is_named():
    from allocator.cli import app

    named = re.findall(r"^\| `([a-z]+) [A-Z]", TEXT, flags=re.MULTILINE)
    known = [command.name or getattr(command.callback, "__name__", "") for command in app.registered_commands]
    assert sorted(named) == sorted(known)


def test_every_exit_code_of_the_command_is_explained():
    from allocator.commands import ending

    names = ("DONE", "NO", "WRONG_INPUT", "NOTHING_FOUND", "INTERNAL", "INTERRUPTED", "PIPE_CLOSED")
    codes = {getattr(ending, name) for name in names}
    assert codes == {int(code) for code in re.findall(r"^\| (\d+) \|", COMMANDS, flags=re.MULTILINE)}
