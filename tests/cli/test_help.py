from __future__ import annotations

import pytest

from tests.cli.running import allocator as run

COMMANDS = ("solve", "check", "new", "import", "demand")


@pytest.mark.parametrize("arguments", [("--help",), *((command, "--help") for command in COMMANDS)])
def test_help_names_the_exit_codes_and_draws_no_boxes(arguments):
    result = run(*arguments)
    assert result.code == 0
    assert "Exit codes: 0 solved or clean; 1 no layout possible" in " ".join(result.out.split())
    assert result.out.isascii()


def test_an_unknown_command_ends_with_2():
    result = run("sovle", "x")
    assert result.code == 2
    assert "sovle" in result.err
