"""A fault of the engine's own is never taken for a verdict: exit code 70, a sentence, the traceback in a file."""

from __future__ import annotations

import re
import subprocess
import sys
import tempfile
from pathlib import Path
from unittest.mock import Mock

import pytest

import allocator.reading
from tests.cli.running import allocator as run
from tests.paths import PROBLEMS

CLIMBER = PROBLEMS / "hill-climber"
ARGUMENTS = {
    "check": (CLIMBER, "layout.json"),
    "compare": (CLIMBER, "layout.json", "layout.json"),
    "explain": (CLIMBER,),
    "report": (CLIMBER, "layout.json", "--json"),
    "revise": (CLIMBER, "layout.json"),
    "solve": (CLIMBER,),
    "tradeoff": (CLIMBER,),
}


@pytest.fixture
def here(tmp_path, monkeypatch):
    """A temporary folder of this test's own, so that the file with the traceback can be found."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    return tmp_path


@pytest.fixture
def broken(monkeypatch):
    monkeypatch.setattr(allocator.reading, "read_problem", Mock(side_effect=KeyError("route")))


@pytest.mark.usefixtures("broken", "here")
@pytest.mark.parametrize("command", ARGUMENTS)
def test_an_exception_that_nobody_expected_ends_with_70(command):
    result = run(command, *ARGUMENTS[command])
    assert (result.code, result.out) == (70, "")
    assert result.err.startswith("internal error: KeyError: 'route'\nThis is a fault in allocator, not in your input.")
    assert "Traceback" not in result.err


@pytest.mark.usefixtures("broken")
def test_the_traceback_lies_in_the_file_that_is_named(here):
    found = re.search(r"The details are in (\S+\.txt)\.", run("solve", CLIMBER).err)
    assert found is not None
    file = Path(found[1])
    assert file.parent == here
    assert "Traceback (most recent call last)" in file.read_text(encoding="utf-8")
    assert "KeyError: 'route'" in file.read_text(encoding="utf-8")


@pytest.mark.usefixtures("broken")
def test_without_a_place_for_the_traceback_it_is_shown(here, monkeypatch):
    monkeypatch.setattr(tempfile, "tempdir", str(here / "nowhere"))
    result = run("solve", CLIMBER)
    assert result.code == 70
    assert "Traceback (most recent call last)" in result.err


def test_an_import_that_fails_ends_with_70_too(tmp_path):
    """Where the library that fails is needed by the command itself, there is no command yet to say it."""
    code = (
        "import sys, tempfile; sys.modules['pint'] = None; tempfile.tempdir = sys.argv.pop(1);"
        "from allocator.cli import main; main()"
    )
    process = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path), "solve", str(CLIMBER)], capture_output=True, text=True, check=False
    )
    assert process.returncode == 70
    assert process.stderr.startswith("internal error: ModuleNotFoundError")
    assert "Traceback" not in process.stderr
