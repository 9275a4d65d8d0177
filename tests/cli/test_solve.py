from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from dataclasses import replace
from unittest.mock import Mock

import pytest

import allocator.search.solve
from allocator.checking import Violation, check
from allocator.layout import FEASIBLE, INFEASIBLE, NOTHING_FOUND, OPTIMAL, Layout
from allocator.reading import read_problem
from allocator.search.solve import InternalError
from tests.cli.example import write_example
from tests.cli.running import allocator as run


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return write_example(tmp_path_factory.mktemp("cli"))


@pytest.fixture(scope="module")
def solved(folder):
    return allocator.search.solve.solve(read_problem(folder))


@pytest.fixture
def returns(monkeypatch):
    """Let the engine return what a test wants to see shown."""

    def hold(layout: Layout):
        monkeypatch.setattr(allocator.search.solve, "solve", Mock(return_value=layout))

    return hold


def test_a_solved_problem_ends_with_0_and_its_proof(folder):
    result = run("solve", folder)
    assert result.code == 0
    assert result.out.startswith("Honey trailer: optimal\n")
    assert "For these inputs no layout weighs less than" in result.out
    assert result.err.startswith("Honey trailer: 6 loads, 1 unit\n")


def test_out_gets_layout_tables_and_lists(folder, tmp_path):
    result = run("solve", folder, "--out", tmp_path / "out")
    assert result.code == 0
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == [
        "assumptions.csv",
        "bulkhead-contacts.csv",
        "bundle-heat.csv",
        "bundles.csv",
        "circuits.csv",
        "condition-currents.csv",
        "cut-list.csv",
        "feeds-and-fuses.csv",
        "layout.json",
        "layout.txt",
        "lists.xlsx",
        "manifest.json",
        "margins.csv",
        "outputs.csv",
        "page.html",
        "shopping.csv",
        "splices.csv",
        "studs.csv",
        "trips.csv",
        "violations.csv",
        "volts.csv",
        "wires.csv",
    ]
    assert f"written to {tmp_path / 'out'}\n" in result.err
    text = (tmp_path / "out" / "layout.txt").read_text(encoding="utf-8")
    assert "more, all in the layout file" not in text


def test_the_same_problem_gives_the_same_file_but_for_seconds(folder, tmp_path):
    for name in ("a", "b"):
        assert run("solve", folder, "--out", tmp_path / name).code == 0
    a, b = ((tmp_path / name / "layout.json").read_text().splitlines() for name in ("a", "b"))
    assert len(a) == len(b)
    assert [line for line, other in zip(a, b, strict=True) if line != other and '"seconds"' not in line] == []


def test_plan_and_loading_are_drawn_into_files(folder, tmp_path):
    result = run("solve", folder, "--plot", tmp_path / "plan.svg", "--plot-loading", tmp_path / "loading.png")
    assert result.code == 0
    assert (tmp_path / "plan.svg").read_bytes().startswith(b"<?xml")
    assert (tmp_path / "loading.png").read_bytes().startswith(b"\x89PNG")
    assert f"written to {tmp_path / 'plan.svg'}" in result.err


def test_a_picture_of_another_kind_or_nowhere_ends_with_2_before_the_search(folder, tmp_path):
    assert "neither .png nor .svg" in run("solve", folder, "--plot", tmp_path / "plan.pdf").err
    result = run("solve", folder, "--plot-loading", tmp_path / "none" / "a.png")
    assert result.code == 2
    assert result.out == ""


def test_json_is_the_layout_and_nothing_else(folder):
    result = run("solve", folder, "--json")
    assert Layout.from_json(result.out).status == OPTIMAL


def test_a_stopped_search_with_a_layout_ends_with_0_and_is_called_feasible(folder, solved, returns):
    returns(replace(solved, status=FEASIBLE, bound_g=400.0, gap=0.07))
    result = run("solve", folder, "--time-limit", "1")
    assert result.code == 0
    assert result.out.startswith("Honey trailer: feasible\n")
    assert "(gap 7.00 %)" in " ".join(result.out.split())


def test_nothing_found_ends_with_3_and_writes_nothing(folder, returns, tmp_path):
    returns(Layout(problem="Honey trailer", status=NOTHING_FOUND))
    result = run("solve", folder, "--out", tmp_path / "out")
    assert result.code == 3
    assert "no layout was found before the search ended" in result.out
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("limit", "kept_s"), [("20", 5.0), ("600", 30.0), (None, 0.0)])
def test_a_search_leaves_time_for_saying_why_it_found_nothing(folder, returns, solved, limit, kept_s):
    returns(solved)
    assert run("solve", folder, *([] if limit is None else ["--time-limit", limit])).code == 0
    assert allocator.search.solve.solve.call_args.kwargs["kept_back_s"] == pytest.approx(kept_s, abs=1.0)


def test_no_layout_possible_ends_with_1_and_says_what_is_known(folder, tmp_path):
    (tmp_path / "p").mkdir()
    for path in folder.iterdir():
        (tmp_path / "p" / path.name).write_text(path.read_text().replace("260 W", "900 W"))
    result = run("solve", tmp_path / "p")
    assert result.code == 1
    assert result.out.startswith("Honey trailer: infeasible\nFor these inputs no layout is possible: proven")
    words = " ".join(result.out.split())
    assert "No output can feed 'honey warmer': current over what the output carries" in words


def test_infeasible_for_programs_ends_with_1_too(folder, returns):
    returns(Layout(problem="Honey trailer", status=INFEASIBLE))
    result = run("solve", folder, "--json")
    assert result.code == 1
    assert json.loads(result.out)["status"] == "infeasible"


def test_a_layout_that_fails_its_own_check_is_never_shown_or_written(folder, monkeypatch, solved, tmp_path):
    broken = Violation(rule="trip", object="scales", amount=1.0, unit="A", text="trip of 'scales' is 1 A too high")

    error = InternalError(replace(check(read_problem(folder), solved), violations=(broken,)))
    monkeypatch.setattr(allocator.search.solve, "solve", Mock(side_effect=error))
    result = run("solve", folder, "--out", tmp_path / "out")
    assert result.code == 70
    assert result.out == ""
    assert "trip of 'scales' is 1 A too high" in result.err
    assert result.err.endswith("Nothing is shown or written. Please report it with the problem folder.\n")
    assert not (tmp_path / "out").exists()


def test_a_known_layout_starts_the_search(folder, tmp_path):
    assert run("solve", folder, "--out", tmp_path / "out").code == 0
    result = run("solve", folder, "--start", tmp_path / "out" / "layout.json")
    assert result.code == 0
    assert result.out.startswith("Honey trailer: optimal\n")


def test_a_start_that_is_no_layout_ends_with_2(folder, tmp_path):
    (tmp_path / "notes").write_text("hello")
    result = run("solve", folder, "--start", tmp_path / "notes")
    assert (result.code, result.out) == (2, "")
    assert result.err.startswith(f"{tmp_path / 'notes'}: line 1: not JSON")


def test_a_missing_problem_ends_with_2(tmp_path):
    result = run("solve", tmp_path / "nowhere")
    assert (result.code, result.out) == (2, "")
    assert "nowhere" in result.err


def test_a_broken_problem_ends_with_2_and_every_mistake(folder, tmp_path):
    (tmp_path / "p").mkdir()
    for path in folder.iterdir():
        (tmp_path / "p" / path.name).write_text(path.read_text().replace("260 W", "5a").replace("9 W", "-9 W"))
    result = run("solve", tmp_path / "p")
    assert (result.code, result.out) == (2, "")
    assert result.err.startswith("2 mistakes in the input:\n  loads.csv, row 3, column 'current': '5a' ")
    assert "\n  loads.csv, row 4, column 'current': '-9 W' " in result.err


def test_an_out_that_cannot_be_written_ends_with_2_before_the_search(folder, tmp_path, monkeypatch):
    solve = Mock()
    monkeypatch.setattr(allocator.search.solve, "solve", solve)
    (tmp_path / "file").write_text("")
    for out in (tmp_path / "file", tmp_path / "file" / "deeper"):
        result = run("solve", folder, "--out", out)
        assert (result.code, result.out) == (2, "")
        assert result.err.startswith(f"{tmp_path / 'file'}: ")
        assert result.err.endswith("Give a path that can be read or written.\n")
    solve.assert_not_called()


@pytest.mark.parametrize("option", ["--gap", "--time-limit"])
@pytest.mark.parametrize("value", ["nan", "-1", "much", "inf"])
def test_a_limit_that_is_no_number_ends_with_2(folder, option, value):
    result = run("solve", folder, option, value)
    assert result.code == 2
    assert f"'{value}' is not a number of 0 or more" in result.err


@pytest.mark.parametrize(("given", "gap"), [("0.01", 0.01), ("1%", 0.01), ("2.5 %", 0.025)])
def test_a_gap_may_be_a_share_or_percent(folder, solved, monkeypatch, given, gap):
    solve = Mock(return_value=solved)
    monkeypatch.setattr(allocator.search.solve, "solve", solve)
    assert run("solve", folder, "--gap", given).code == 0
    assert solve.call_args.kwargs["gap"] == pytest.approx(gap)


def test_square_brackets_in_names_are_printed_as_they_are(folder, tmp_path):
    (tmp_path / "p").mkdir()
    for path in folder.iterdir():
        text = path.read_text().replace("extractor drum", "[x] drum").replace("scales", "[/x] scales")
        (tmp_path / "p" / path.name).write_text(text)
    result = run("solve", tmp_path / "p")
    assert result.code == 0
    assert "[x] drum" in result.out
    assert "[/x] scales" in result.out


def command(*arguments: object, **options) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "allocator", *map(str, arguments)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        **options,
    )


def test_a_pipe_gets_plain_text_of_80_columns(folder):
    with command("solve", folder, env={**os.environ, "FORCE_COLOR": "1", "COLUMNS": "200"}) as process:
        out, err = process.communicate(timeout=60)
    assert process.returncode == 0
    assert out.isascii()
    assert "\x1b" not in out + err
    assert max(map(len, out.splitlines())) <= 80


def test_ctrl_c_with_a_layout_in_hand_shows_and_writes_it_and_ends_with_130(folder, solved, monkeypatch, tmp_path):
    def solve(problem, **options):
        assert problem.name == "Honey trailer"
        assert callable(options["progress"])
        before = signal.signal(signal.SIGINT, lambda *_: None)
        os.kill(os.getpid(), signal.SIGINT)
        signal.signal(signal.SIGINT, before)
        return replace(solved, status=FEASIBLE, bound_g=None, gap=None)

    monkeypatch.setattr(allocator.search.solve, "solve", solve)
    result = run("solve", folder, "--out", tmp_path / "out")
    assert result.code == 130
    assert result.out.startswith("Honey trailer: feasible\n")
    assert "no bound is known" in " ".join(result.out.split())
    assert Layout.from_json((tmp_path / "out" / "layout.json").read_text()).status == FEASIBLE


def test_ctrl_c_before_the_search_is_no_traceback(folder, monkeypatch):
    monkeypatch.setattr(allocator.search.solve, "solve", Mock(side_effect=KeyboardInterrupt))
    result = run("solve", folder)
    assert (result.code, result.out) == (130, "")
    assert result.err.endswith("interrupted before anything was found\n")


def test_a_reader_that_goes_away_is_no_traceback(folder):
    with command("solve", folder) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        err = process.stderr.read()
    assert process.returncode == 141
    assert "Traceback" not in err
    assert "BrokenPipe" not in err
