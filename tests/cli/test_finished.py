"""A finished search is never lost: whatever fails after it, its result is printed and saved."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path
from unittest.mock import Mock

import pytest

import allocator.pareto_front
import allocator.reporting.files
import allocator.reporting.pictures.saving
import allocator.revising
import allocator.search.solve
import allocator.writing.results
from allocator.commands import finished
from allocator.layout import Layout
from allocator.pareto_front import tradeoff
from allocator.reading import read_problem
from allocator.revising import revise
from allocator.search.solve import solve
from tests.cli.example import write_example
from tests.cli.running import allocator as run
from tests.faults.states import left_behind

SAVED = re.compile(r"^the (layout|tradeoff|report) that was found is saved to (.*)$", re.MULTILINE)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return write_example(tmp_path_factory.mktemp("finished"))


@pytest.fixture(scope="module")
def found(folder):
    problem = read_problem(folder)
    layout = solve(problem)
    return problem, layout, revise(problem, layout), tradeoff(problem)


@pytest.fixture
def home(folder, found, tmp_path, monkeypatch):
    """A folder to work in; the searches have their results at once."""
    _, layout, revision, points = found
    monkeypatch.setattr(allocator.search.solve, "solve", Mock(return_value=layout))
    monkeypatch.setattr(allocator.revising, "revise", Mock(return_value=revision))
    monkeypatch.setattr(allocator.pareto_front, "tradeoff", Mock(return_value=points))
    (tmp_path / "layout.json").write_text(layout.to_json())
    shutil.copytree(folder, tmp_path / "boat")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def fails(monkeypatch, place, name, error) -> None:
    monkeypatch.setattr(place, name, Mock(side_effect=error))


def saved(result) -> Path:
    match = SAVED.search(result.err)
    assert match is not None, result.err
    return Path(match[2])


ERRORS = [OSError(28, "No space left on device"), PermissionError(13, "Permission denied", "x"), KeyboardInterrupt()]


@pytest.mark.parametrize("error", ERRORS, ids=["full", "not allowed", "Ctrl-C"])
@pytest.mark.parametrize("where", ["contents", "write_result", "write"])
def test_the_layout_is_printed_and_saved_and_the_exit_code_tells_of_the_failure(home, found, monkeypatch, error, where):
    place = {
        "contents": allocator.reporting.files, "write_result": allocator.writing.results,
        "write": allocator.reporting.pictures.saving,
    }[where]  # fmt: skip
    fails(monkeypatch, place, where, error)
    out = () if where == "write" else ("--out", "results/out")
    result = run("solve", "boat", *out, "--plot", "plan.svg")
    assert result.code == (130 if isinstance(error, KeyboardInterrupt) else 2)
    assert result.out.startswith("Honey trailer: optimal\n")
    assert Layout.from_json(saved(result).read_text()) == found[1]
    assert saved(result).parent == home
    assert ("interrupted after the search" in result.err) == isinstance(error, KeyboardInterrupt)
    assert not (home / "results").exists()
    assert left_behind(home) == []


def test_what_stands_in_its_folder_already_is_not_saved_twice(home, monkeypatch):
    fails(monkeypatch, allocator.reporting.pictures.saving, "write", ERRORS[0])
    result = run("solve", "boat", "--out", "out", "--plot", "plan.svg")
    assert result.code == 2
    assert result.out.startswith("Honey trailer: optimal\n")
    assert "written to out\n" in result.err
    assert SAVED.search(result.err) is None
    assert sorted(path.name for path in home.iterdir()) == ["boat", "layout.json", "out"]


def test_a_file_of_the_users_that_came_meanwhile_stays_and_no_layout_is_lost(home, found, monkeypatch):
    def solved(*_, **__):
        (home / "out").mkdir()
        (home / "out" / "cut-list.csv").write_text("mine")
        return found[1]

    monkeypatch.setattr(allocator.search.solve, "solve", solved)
    result = run("solve", "boat", "--out", "out")
    assert result.code == 2
    assert "'cut-list.csv' was not written by allocator" in result.err
    assert [(path.name, path.read_text()) for path in (home / "out").iterdir()] == [("cut-list.csv", "mine")]
    assert Layout.from_json(saved(result).read_text()) == found[1]


@pytest.mark.parametrize("option", ["--out", "--plot"])
def test_a_link_to_nothing_that_was_made_meanwhile_loses_no_layout(home, found, monkeypatch, option):
    def solved(*_, **__):
        (home / "made.svg").symlink_to("nowhere/at all")
        return found[1]

    monkeypatch.setattr(allocator.search.solve, "solve", solved)
    result = run("solve", "boat", option, "made.svg")
    assert result.code == 2
    assert Layout.from_json(saved(result).read_text()) == found[1]
    assert result.out.startswith("Honey trailer: optimal\n")


@pytest.mark.usefixtures("home")
def test_what_is_printed_for_programs_is_the_layout(found, monkeypatch):
    fails(monkeypatch, allocator.reporting.files, "contents", ERRORS[0])
    result = run("solve", "boat", "--out", "out", "--json")
    assert result.code == 2
    assert Layout.from_json(result.out) == found[1]


def test_a_slip_in_making_the_lists_loses_no_layout(home, found, monkeypatch):
    fails(monkeypatch, allocator.reporting.files, "page_of", ZeroDivisionError())
    _, layout, *_ = found
    shown = []
    with pytest.raises(ZeroDivisionError), finished.Finished("layout", layout.to_json, lambda: shown.append(1)):
        allocator.reporting.files.contents(found[0], layout)
    (path,) = home.glob("allocator-layout-*.json")
    assert Layout.from_json(path.read_text()) == layout
    assert shown == [1]


@pytest.mark.usefixtures("home")
def test_a_revision_is_printed_and_saved(found, monkeypatch):
    fails(monkeypatch, allocator.writing.results, "write_result", ERRORS[0])
    result = run("revise", "boat", "layout.json", "--out", "out")
    assert result.code == 2
    assert result.out.startswith("Honey trailer: revision optimal\n")
    assert Layout.from_json(saved(result).read_text()) == found[2].layout


@pytest.mark.usefixtures("home")
@pytest.mark.parametrize("command", ["tradeoff", "report"])
def test_a_trade_off_is_printed_and_saved(found, monkeypatch, command):
    arguments = {
        "tradeoff": ("tradeoff", "boat", "--plot", "plan.svg"),
        "report": ("report", "boat", "layout.json", "--tradeoff", "--out", "out"),
    }[command]
    fails(monkeypatch, allocator.reporting.pictures.saving, "write", ERRORS[0])
    fails(monkeypatch, allocator.writing.results, "write_result", ERRORS[0])
    result = run(*arguments)
    assert result.code == 2
    assert result.out.startswith("Honey trailer: ")
    body = json.loads(saved(result).read_text())
    points = (body if command == "tradeoff" else body["tradeoff"])["points"]
    assert len(points) == len(found[3].points)


def test_a_report_alone_is_not_saved_for_it_can_be_made_again(home, monkeypatch):
    fails(monkeypatch, allocator.writing.results, "write_result", ERRORS[0])
    result = run("report", "boat", "layout.json", "--out", "out")
    assert result.code == 2
    assert SAVED.search(result.err) is None
    assert sorted(path.name for path in home.iterdir()) == ["boat", "layout.json"]


def test_where_one_folder_refuses_the_next_is_tried_and_where_all_do_it_is_printed(home, found, monkeypatch):
    import allocator.writing.somewhere as somewhere

    refused, write = [], somewhere.write_file

    def full(path, data):
        if path.parent in refused:
            raise OSError(28, "No space left on device")
        write(path, data)

    temporary = home / "temporary"
    temporary.mkdir()
    (home / "results").mkdir()
    monkeypatch.setattr(somewhere, "write_file", full)
    monkeypatch.setattr(somewhere.tempfile, "gettempdir", lambda: str(temporary))
    fails(monkeypatch, allocator.reporting.files, "contents", ERRORS[0])
    for expected in (home / "results", home, temporary, None):
        result = run("solve", "boat", "--out", "results/out")
        if expected is None:
            assert "could not be saved to any folder. It follows on standard output" in result.err
            assert Layout.from_json(result.out[: result.out.index("\n}\n") + 3]) == found[1]
            assert "Honey trailer: optimal\n" in result.out
        else:
            assert saved(result).parent == expected
            assert result.code == 2
        refused.append(expected)


def test_interrupts_while_it_is_saved_are_borne_with(home, found, monkeypatch):
    import allocator.writing.somewhere as somewhere

    write, pressed = somewhere.write_file, []

    def interrupted(path, data):
        write(path, data)
        if len(pressed) < 3:
            pressed.append(path)
            raise KeyboardInterrupt

    monkeypatch.setattr(somewhere, "write_file", interrupted)
    fails(monkeypatch, allocator.reporting.files, "contents", KeyboardInterrupt())
    result = run("solve", "boat", "--out", "out")
    assert result.code == 130
    assert Layout.from_json(saved(result).read_text()) == found[1]
    assert len(list(home.glob("allocator-layout-*"))) == 1


@pytest.mark.parametrize("backend", ["module://matplotlib_inline.backend_inline", "nonsense"])
def test_the_backend_of_a_notebook_is_no_hindrance(home, backend):
    command = [sys.executable, "-m", "allocator", "report", "boat", "layout.json", "--out", "out"]
    environment = {"MPLBACKEND": backend, "MPLCONFIGDIR": str(home / "config")}
    done = subprocess.run(command, capture_output=True, text=True, check=False, env=environment)
    assert done.returncode == 0, done.stderr
    assert (home / "out" / "page.html").exists()
