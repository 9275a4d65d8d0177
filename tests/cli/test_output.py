"""Where results may go, and where they may not: what is refused is refused before the search."""

from __future__ import annotations

import json
import shutil
from unittest.mock import Mock

import pytest

import allocator.revising
import allocator.search.solve
from allocator.importing.workbook import write_workbook
from allocator.layout import Layout
from allocator.writing.manifest import Manifest
from tests.cli.example import write_example
from tests.cli.running import allocator as run
from tests.faults.states import left_behind, tree, whole


@pytest.fixture(scope="module")
def solved(tmp_path_factory):
    """A problem folder and its result beside it."""
    home = tmp_path_factory.mktemp("output")
    folder = write_example(home)
    assert run("solve", folder, "--out", home / "out").code == 0
    return home


@pytest.fixture
def home(solved, tmp_path):
    shutil.copytree(solved, tmp_path / "home")
    return tmp_path / "home"


@pytest.fixture
def no_search(monkeypatch):
    """Nothing may be searched for."""
    for module, name in ((allocator.search.solve, "solve"), (allocator.revising, "revise")):
        monkeypatch.setattr(module, name, Mock(side_effect=AssertionError("it searched")))


def refused(home, *arguments) -> str:
    """The message of a command that is refused, and changes nothing."""
    before = tree(home)
    result = run(*arguments)
    assert (result.code, result.out) == (2, "")
    assert tree(home) == before
    assert left_behind(home) == []
    return " ".join(result.err.split())


LINKED = ("same", "link/deep")


@pytest.mark.usefixtures("no_search")
@pytest.mark.parametrize("command", ["solve", "revise", "report"])
@pytest.mark.parametrize("out", ["honey-trailer", "honey-trailer/out", "honey-trailer/a/b", ".", "..", "link", *LINKED])
def test_the_problem_folder_what_is_in_it_and_what_holds_it_are_refused(home, monkeypatch, command, out):
    monkeypatch.chdir(home)
    (home / "link").symlink_to("honey-trailer")
    (home / "same").symlink_to(home)
    layout = () if command == "solve" else ("out/layout.json",)
    said = refused(home, command, "honey-trailer", *layout, "--out", out)
    assert said == (
        f"{out}: is the problem's own folder, is inside it or contains it. Give a folder beside it, such as "
        f"{home / 'honey-trailer-out'}."
    )


@pytest.mark.usefixtures("no_search")
def test_the_folder_of_a_workbook_is_refused_and_one_in_it_is_not(home, monkeypatch):
    write_workbook(home / "honey-trailer", home / "boat" / "boat.xlsx")
    monkeypatch.chdir(home / "boat")
    assert f"such as {home / 'boat' / 'boat-out'}." in refused(home, "solve", "boat.xlsx", "--out", ".")
    assert "is inside it or contains it" in refused(home, "solve", "boat.xlsx", "--out", "..")
    result = run("solve", "boat.xlsx", "--out", "boat-out")
    assert result.code == 70
    assert "it searched" in result.err


@pytest.mark.usefixtures("no_search")
@pytest.mark.parametrize("empty", ["", " "])
def test_an_empty_name_is_refused(home, monkeypatch, empty):
    monkeypatch.chdir(home)
    for command in (
        ["solve", "honey-trailer", "--out", empty],
        ["revise", "honey-trailer", "out/layout.json", "--out", empty],
        ["report", "honey-trailer", "out/layout.json", "--out", empty],
        ["new", empty],
        ["import", "honey-trailer/loads.csv", empty],
    ):
        assert "Give one, such as 'my-boat-out'" in refused(home, *command)


def test_no_problem_folder_is_made_of_the_folder_that_the_shell_is_in(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert "Give the name of a folder to make" in refused(tmp_path, "new", ".")


@pytest.mark.usefixtures("no_search")
def test_foreign_and_edited_files_are_refused_by_name_before_the_search(home):
    (home / "out" / "cut-list.csv").write_text("my marks")
    assert "'cut-list.csv' was changed since allocator wrote it" in refused(
        home, "solve", home / "honey-trailer", "--out", home / "out"
    )
    (home / "mine").mkdir()
    (home / "mine" / "page.html").write_text("my page")
    assert "'page.html' was not written by allocator" in refused(
        home, "solve", home / "honey-trailer", "--out", home / "mine"
    )


@pytest.mark.usefixtures("no_search")
def test_a_foreign_picture_is_refused_before_the_search(home):
    (home / "photo.png").write_bytes(b"mine")
    (home / "dangling.svg").symlink_to("nothing.svg")
    for command in (("solve", "--plot"), ("solve", "--plot-loading"), ("tradeoff", "--plot")):
        name, option = command
        said = refused(home, name, home / "honey-trailer", option, home / "photo.png")
        assert "was not drawn by allocator" in said
        assert "is a broken link" in refused(home, name, home / "honey-trailer", option, home / "dangling.svg")
    both = ("--plot", home / "a.svg", "--plot-loading", home / "a.svg")
    assert "two pictures would be written to this file" in refused(home, "solve", home / "honey-trailer", *both)


@pytest.mark.usefixtures("no_search")
@pytest.mark.parametrize("layout", ["out/layout.json", "link.json"])
def test_a_revision_does_not_replace_the_layout_that_is_built(home, layout):
    (home / "link.json").symlink_to("out/layout.json")
    said = refused(home, "revise", home / "honey-trailer", home / layout, "--out", home / "out")
    assert said == (
        f"{home / 'out'}: holds the layout that is built. Give another folder, or --replace if it is no longer needed."
    )


def test_a_revision_replaces_the_layout_that_is_built_where_that_is_asked_for(home):
    out = home / "out"
    assert run("revise", home / "honey-trailer", out / "layout.json", "--out", out, "--replace").code == 0
    assert whole(out, {}).command == "revise"
    said = refused(home, "report", home / "honey-trailer", out / "layout.json", "--out", out)
    assert "holds a revision, whose lists say what stays in place" in said


def test_a_report_over_a_solved_folder_is_one_whole_result(home):
    out = home / "out"
    body = json.loads((out / "layout.json").read_text())
    by_hand = {key: body[key] for key in ("format", "units")}
    by_hand["units"] = [{"name": one["name"], "site": one["site"]} for one in body["units"]]
    by_hand["circuits"] = [
        {"loads": one["loads"], "unit": one["unit"], "pins": one["pins"], "size": one["wires"][0]["size"]}
        for one in body["circuits"][1:]
    ]
    (home / "by-hand.json").write_text(json.dumps(by_hand))
    (out / "notes.txt").write_text("mine")
    assert run("report", home / "honey-trailer", home / "by-hand.json", "--out", out).code == 1
    manifest = whole(out, {"notes.txt": tree(out)["notes.txt"]})
    assert manifest.command == "report"
    # no file of the layout that was solved is left
    assert not {"layout.txt", "circuits.csv", "margins.csv"} & manifest.files.keys()
    assert Layout.from_json((out / "layout.json").read_text()) == Layout.from_json(json.dumps(by_hand))


@pytest.mark.parametrize("command", ["report", "solve --start"])
def test_a_layout_of_the_users_own_is_never_written_over(home, command):
    mine = home / "mine"
    mine.mkdir()
    shutil.copy(home / "out" / "layout.json", mine / "by-hand.json")
    before = tree(mine)
    given = command.split()
    assert run(given[0], home / "honey-trailer", *given[1:], mine / "by-hand.json", "--out", mine).code == 0
    whole(mine, before)
    shutil.rmtree(mine)
    mine.mkdir()
    shutil.copy(home / "out" / "layout.json", mine)
    said = refused(home, given[0], home / "honey-trailer", *given[1:], mine / "layout.json", "--out", mine)
    assert "'layout.json' was not written by allocator" in said


def test_a_report_of_the_result_itself_is_that_result(home):
    before = Manifest.read(home / "out")
    assert run("report", home / "honey-trailer", home / "out" / "layout.json", "--out", home / "out").code == 0
    after = whole(home / "out", {})
    assert {name for name in before.files if before.files[name] != after.files.get(name)} <= {"lists.xlsx"}


def test_the_layout_that_a_search_starts_from_may_be_replaced_by_what_it_finds(home):
    out = home / "out"
    assert run("solve", home / "honey-trailer", "--start", out / "layout.json", "--out", out).code == 0
    assert whole(out, {}).command == "solve"


def test_the_manifest_tells_of_what_the_result_is(home):
    manifest = whole(home / "out", {})
    body = json.loads((home / "out" / "layout.json").read_text())
    assert (manifest.command, manifest.problem) == ("solve", "Honey trailer")
    assert manifest.problem_sha256 == body["problem"]["sha256"]
