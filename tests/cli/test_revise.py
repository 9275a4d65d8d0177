from __future__ import annotations

import json
from dataclasses import replace
from unittest.mock import Mock

import pandas as pd
import pytest

import allocator.revising
from allocator.checking import Violation, check
from allocator.layout import Layout
from allocator.reading import read_problem
from allocator.search.solve import InternalError
from tests.cli.example import write_example
from tests.cli.running import allocator as run

FAN = "fan,bench,1.2 A,1,motor,,1,yes,\n"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return write_example(tmp_path_factory.mktemp("cli"))


@pytest.fixture(scope="module")
def built(folder, tmp_path_factory):
    out = tmp_path_factory.mktemp("built") / "out"
    assert run("solve", folder, "--out", out).code == 0
    return out / "layout.json"


@pytest.fixture(scope="module")
def later(folder, tmp_path_factory):
    new = tmp_path_factory.mktemp("later")
    for path in folder.iterdir():
        (new / path.name).write_text(path.read_text() + (FAN if path.name == "loads.csv" else ""))
    return new


def test_what_is_new_and_what_stays_is_told_pin_by_pin(later, built):
    result = run("revise", later, built)
    assert result.code == 0
    assert result.out.startswith("Honey trailer: revision optimal\n7 stay, 0 moves, 0 remade, 1 new, 0 removed")
    words = " ".join(result.out.split())
    assert "New load is fed from" in words
    assert "honey warmer main 1, 2" in words
    assert "A free re-optimisation would have saved" in words
    assert "No revision of this layout comes to less than" in words
    assert "Wiring can burn" in words
    assert max(map(len, result.out.splitlines())) <= 80


def test_out_gets_the_layout_its_lists_and_the_changes(later, built, tmp_path):
    assert run("revise", later, built, "--out", tmp_path / "out").code == 0
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert {"layout.json", "circuits.csv", "revision.json", "revision.txt", "changes.csv", "changed-wires.csv"} <= names
    cut = pd.read_csv(tmp_path / "out" / "cut-list.csv").set_index("label")["cut"]
    # the new fan alone has wires to cut
    assert {*cut[cut == "[ ]"].index} == {"main 6", "fan return"}
    shop = pd.read_csv(tmp_path / "out" / "shopping.csv")
    assert shop["cut [m]"].sum() < 0.5 * shop["in place [m]"].sum()
    assert "lists.xlsx" in names
    assert run("check", later, tmp_path / "out" / "layout.json").code == 0


def test_json_holds_the_revision_and_a_layout_that_reads_back(later, built):
    result = run("revise", later, built, "--json", "--frozen")
    body = json.loads(result.out)
    assert (body["status"], body["moves"], body["max_moves"]) == ("optimal", 0, 0)
    assert [change["of"] for change in body["changes"] if change["what"] == "new"] == ["fan"]
    assert len(Layout.from_json(json.dumps(body["layout"])).circuits) == 5


def test_no_revision_possible_ends_with_1_and_what_could_be_done(later, built, tmp_path):
    for path in later.iterdir():
        text = path.read_text().replace('"55 A"', '"26 A"')
        (tmp_path / path.name).write_text(text)
    result = run("revise", tmp_path, built, "--frozen")
    assert result.code == 1
    assert "No revision of this layout is possible with at most 0 moves: proven" in " ".join(result.out.split())
    assert "--resite" in result.out


@pytest.mark.parametrize("wrong", [["--max-moves", "-1"], ["--move", "-3"], ["--move", "heavy"], ["--gap", "x"]])
def test_wrong_options_end_with_2(later, built, wrong):
    assert run("revise", later, built, *wrong).code == 2


def test_a_layout_that_cannot_be_read_ends_with_2(later, tmp_path):
    assert run("revise", later, tmp_path / "none.json").code == 2


def test_a_layout_that_fails_the_check_is_never_shown_or_written(later, built, monkeypatch, tmp_path):
    broken = Violation(rule="trip", object="scales", amount=1.0, unit="A", text="trip of 'scales' is 1 A too high")
    error = InternalError(replace(check(read_problem(later), Layout(problem="x")), violations=(broken,)))
    monkeypatch.setattr(allocator.revising, "revise", Mock(side_effect=error))
    result = run("revise", later, built, "--out", tmp_path / "out")
    assert (result.code, result.out) == (70, "")
    assert not (tmp_path / "out").exists()
