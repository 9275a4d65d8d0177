from __future__ import annotations

import platform
from importlib.metadata import version

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
