"""The README is run: its commands are the ones that CI runs, its example is solved and its output compared."""

from __future__ import annotations

import re

import pytest

from tests.cli.running import allocator
from tests.paths import ROOT

TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
FOLDER = {"toml": ["problem.toml"], "csv": ["loads.csv", "places.csv", "segments.csv"]}


def fenced(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?\n)```$", TEXT, flags=re.DOTALL | re.MULTILINE)


@pytest.fixture(scope="module")
def example(tmp_path_factory):
    folder = tmp_path_factory.mktemp("readme") / "honey-trailer"
    folder.mkdir()
    for language, names in FOLDER.items():
        for name, text in zip(names, fenced(language), strict=True):
            (folder / name).write_text(text)
    return folder


def test_the_two_commands_are_there_word_for_word():
    for command in (
        "python3 -m venv .venv && .venv/bin/pip install -q . && .venv/bin/allocator solve problems/clinic-van",
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


def test_the_python_example_runs(example, monkeypatch, capsys):
    monkeypatch.chdir(example.parent)
    (code,) = fenced("python")
    exec(code, {})
    assert "0.5 mm2" in capsys.readouterr().out


def test_every_exit_code_of_the_command_is_explained():
    from allocator import cli

    codes = {cli.DONE, cli.NO, cli.WRONG_INPUT, cli.NOTHING_FOUND, cli.INTERNAL, cli.INTERRUPTED}
    assert codes == {int(code) for code in re.findall(r"^\| (\d+) \|", TEXT, flags=re.MULTILINE)}
