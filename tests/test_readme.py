"""The README is run: its commands are the ones that CI runs, its example is solved and its output compared."""

from __future__ import annotations

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
