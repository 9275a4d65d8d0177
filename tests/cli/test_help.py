from __future__ import annotations

import pytest
from typer.main import get_command

from allocator.cli import app
from tests.cli.running import allocator as run

COMMANDS = tuple(get_command(app).commands)


def test_help_names_the_exit_codes():
    result = run("--help")
    assert result.code == 0
    assert "Exit codes: 0 solved or clean; 1 no layout possible" in " ".join(result.out.split())


def test_what_each_command_does_is_said_whole_in_the_list():
    listed = run("--help").out.partition("Commands:")[2]
    assert all(f"\n  {command} " in listed for command in COMMANDS)
    assert "..." not in listed


@pytest.mark.parametrize("command", COMMANDS)
def test_help_of_a_command_ends_with_an_example_on_one_line_and_the_exit_codes(command):
    result = run(command, "--help")
    assert result.code == 0
    assert f"\n  Example:\n    allocator {command} " in result.out
    assert "Exit codes: 0 " in result.out
    assert result.out.isascii()


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_a_result_for_programs(command):
    assert "--json" in run(command, "--help").out


def test_an_example_names_options_that_there_are():
    for command in COMMANDS:
        options, example = run(command, "--help").out.split("Example:\n")
        used = [word for word in example.splitlines()[0].split() if word.startswith("--")]
        assert [option for option in used if f"  {option} " not in options] == []


@pytest.mark.parametrize(
    ("arguments", "near"),
    [
        (("sovle", "x"), "Did you mean 'solve'?"),
        (("solve", "x", "--time-limt", "3"), "--time-limit"),
        (("report", "x", "y", "--wast", "3%"), "--waste"),
    ],
)
def test_a_name_that_is_nearly_right_is_answered_with_the_right_one(arguments, near):
    result = run(*arguments)
    assert result.code == 2
    assert near in result.err
