"""What the command prints where no terminal is, 80 columns wide: plain text that fits.

``test_solve.py`` holds that a process of its own prints so into a real pipe.
"""

from __future__ import annotations

import re

import pytest

from tests.cli.example import write_example
from tests.cli.running import allocator
from tests.cli.test_help import COMMANDS

SCHEDULE = "Item,No. off,Amps,Where fitted\nExtractor drum motor,1,9.7,drum\nCeiling lamp,2,0.7,\n"
NOT_PLAIN = re.compile("[\x1b\u2500-\u259f]")
"""Escape, box drawing, block elements."""

RESULTS = {
    "new": ("new", "first"),
    "import": ("import", "list.csv", "imported"),
    "demand": ("demand", "list.csv"),
    "solve": ("solve", "honey-trailer"),
    "check": ("check", "honey-trailer", "out/layout.json", "--headroom"),
    "compare": ("compare", "honey-trailer", "out/layout.json", "out/layout.json"),
    "explain": ("explain", "honey-trailer", "scales", "--layout", "out/layout.json"),
    "revise": ("revise", "honey-trailer", "out/layout.json"),
    "report": ("report", "honey-trailer", "out/layout.json", "--out", "again"),
    "tradeoff": ("tradeoff", "honey-trailer"),
}


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A folder with what the commands read."""
    path = tmp_path_factory.mktemp("plain")
    write_example(path)
    (path / "list.csv").write_text(SCHEDULE)
    assert allocator("solve", path / "honey-trailer", "--out", path / "out").code == 0
    return path


@pytest.fixture
def piped(monkeypatch):
    """Standard output and standard error of the command in a folder, on no terminal; it must end well."""
    for name in ("FORCE_COLOR", "NO_COLOR"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("TERM", "xterm-256color")

    def ran(folder, *arguments):
        monkeypatch.chdir(folder)
        result = allocator(*arguments)
        assert result.code == 0, result.err
        return result.out, result.err

    return ran


def unfit(text):
    """Lines that hold what is not plain, or are too long."""
    return [line for line in text.splitlines() if NOT_PLAIN.search(line) or len(line) > 80]


def test_every_command_is_held_to_it():
    assert set(RESULTS) == set(COMMANDS)


def test_what_is_not_plain_is_found():
    assert unfit("\x1b[1mbold\n\u2502 box\n" + "x" * 81 + "\nplain \u2126\n") == ["\x1b[1mbold", "\u2502 box", "x" * 81]


@pytest.mark.parametrize("command", COMMANDS)
def test_help_is_plain(command, tmp_path, piped):
    out, err = piped(tmp_path, command, "--help")
    assert out.startswith("Usage: ")
    assert (unfit(out), err) == ([], "")


@pytest.mark.parametrize("command", COMMANDS)
def test_a_result_is_plain(command, made, piped):
    out, err = piped(made, *RESULTS[command])
    assert out + err
    assert unfit(out) == []
    assert unfit(err) == []
