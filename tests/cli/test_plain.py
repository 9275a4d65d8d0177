"""What the command prints into a pipe 80 columns wide, in a process of its own: plain text that fits."""

from __future__ import annotations

import os
import re
import subprocess
import sys

import pytest

from tests.cli.example import write_example
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
def home(tmp_path_factory):
    path = tmp_path_factory.mktemp("plain")
    write_example(path)
    (path / "list.csv").write_text(SCHEDULE)
    piped(path, "solve", "honey-trailer", "--out", "out")
    return path


def piped(folder, *arguments):
    """Standard output and standard error of the command in a pipe; it must end well."""
    wanted = {name: text for name, text in os.environ.items() if name not in ("FORCE_COLOR", "NO_COLOR")}
    run = subprocess.run(
        [sys.executable, "-c", "from allocator.__main__ import main; main()", *arguments],
        cwd=folder, env={**wanted, "COLUMNS": "80", "TERM": "xterm-256color"}, capture_output=True, text=True,
        check=True,
    )  # fmt: skip
    return run.stdout, run.stderr


def unfit(text):
    """Lines that hold what is not plain, or are too long."""
    return [line for line in text.splitlines() if NOT_PLAIN.search(line) or len(line) > 80]


def test_every_command_is_held_to_it():
    assert set(RESULTS) == set(COMMANDS)


def test_what_is_not_plain_is_found():
    assert unfit("\x1b[1mbold\n\u2502 box\n" + "x" * 81 + "\nplain \u2126\n") == ["\x1b[1mbold", "\u2502 box", "x" * 81]


@pytest.mark.parametrize("command", COMMANDS)
def test_help_is_plain(command, tmp_path):
    out, err = piped(tmp_path, command, "--help")
    assert out.startswith("Usage: ")
    assert (unfit(out), err) == ([], "")


@pytest.mark.parametrize("command", COMMANDS)
def test_a_result_is_plain(command, home):
    out, err = piped(home, *RESULTS[command])
    assert out + err
    assert unfit(out) == []
    assert unfit(err) == []
