from __future__ import annotations

import platform
import re
import tomllib
from importlib.metadata import version
from pathlib import Path

from tests.cli.running import allocator as run


def test_the_version_names_the_solver_too():
    result = run("--version")
    assert result.code == 0
    assert result.err == ""
    assert result.out.splitlines() == [
        f"allocator {version('allocator')}",
        f"PuLP {version('pulp')}",
        f"HiGHS {version('highspy')}",
        f"Python {platform.python_version()}",
    ]


def test_it_needs_no_command_and_goes_before_one():
    assert run("--version", "solve", "nowhere").code == 0


HOME = Path(__file__).parents[2]


def newest_change() -> str:
    text = (HOME / "allocator" / "CHANGES.md").read_text(encoding="utf-8")
    return re.findall(r"^## (\S+) \(\d{4}-\d\d-\d\d\)$", text, re.MULTILINE)[0]


def test_the_version_is_that_of_the_newest_change():
    project = tomllib.loads((HOME / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["version"] == newest_change()
    said = run("--version").out.splitlines()[0]
    assert said == f"allocator {newest_change()}", "installed before the version rose: pip install -e ."


def test_the_licence_that_is_named_goes_with_the_package():
    project = tomllib.loads((HOME / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    (file,) = project["license-files"]
    text = (HOME / file).read_text(encoding="utf-8")
    assert project["license"] == "Apache-2.0"
    assert "Apache License" in text
    assert "Version 2.0, January 2004" in text
    assert "END OF TERMS AND CONDITIONS" in text
