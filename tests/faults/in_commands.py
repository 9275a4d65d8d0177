"""Run by the tests in a process of its own: each command that writes, with a fault at each of its touches.

What is searched for is prepared, and so are the files: a run takes hundredths of a second.
``python -m tests.faults.in_commands COMMAND/FAULT ...``
"""

from __future__ import annotations

import json
import os
import re
import shutil
import sys
import tempfile
import traceback
from contextlib import redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path
from types import SimpleNamespace

from typer.main import get_command

import allocator.pareto_front
import allocator.reading
import allocator.reporting.files
import allocator.reporting.pictures.of_layout
import allocator.reporting.pictures.staircase
import allocator.reporting.reading_order
import allocator.reporting.revisions
import allocator.reporting.tradeoffs
import allocator.reporting.written_reports
import allocator.revising
import allocator.search.solve
from allocator.cli import app
from allocator.layout import Layout
from allocator.reporting.pictures import saving
from allocator.reporting.reading_order import whole
from allocator.writing.moving import heal_for_reading
from allocator.writing.results import write_result
from allocator.writing.sealed import is_sealed, write_sealed
from tests.cli.example import write_example
from tests.faults.at_every_touch import folder_of_tests
from tests.faults.injected import every
from tests.faults.states import left_behind, tree
from tests.faults.states import whole as whole_result

OLD = {"layout.json": "old", "stale.csv": "old"}
SVG = b"<?xml version='1.0'?><svg>%s</svg>\n"
RUN = {
    "solve": ("solve", "boat", "--out", "out", "--plot", "plan.svg"),
    "solve for programs": ("solve", "boat", "--out", "out", "--json"),
    "revise": ("revise", "boat", "built/layout.json", "--out", "out"),
    "report": ("report", "boat", "built/layout.json", "--out", "out"),
    "tradeoff": ("tradeoff", "boat", "--plot", "plan.svg"),
    "new": ("new", "made"),
    "import": ("import", "list.csv", "made"),
}
COMMAND = get_command(app)


class Prepared:
    """One problem with its answers, found once; the engine then gives them at once."""

    def __init__(self, home: Path) -> None:
        self.folder = write_example(home)
        self.problem = allocator.reading.read_problem(self.folder)
        self.layout = allocator.search.solve.solve(self.problem)
        self.revision = allocator.revising.revise(self.problem, self.layout)
        self.tradeoff = allocator.pareto_front.tradeoff(self.problem)
        self.searched = False
        shown = whole(self.problem, self.layout)[:2]
        files = {"layout.json": self.layout.to_json(), "cut-list.csv": "new", "lists.xlsx": b"\x00new"}
        picture = SimpleNamespace(savefig=lambda stream, **_: stream.write(SVG % b"new"))
        allocator.reading.read_problem = lambda _: self.problem
        allocator.search.solve.solve = lambda *_, **__: self.found(self.layout)
        allocator.revising.revise = lambda *_, **__: self.found(self.revision)
        allocator.pareto_front.tradeoff = lambda *_, **__: self.found(self.tradeoff)
        allocator.reporting.reading_order.whole = lambda *_, **__: shown
        allocator.reporting.revisions.revised = lambda *_: shown
        allocator.reporting.written_reports.reported = lambda *_: shown
        allocator.reporting.tradeoffs.traded = lambda *_: shown
        allocator.reporting.files.contents = lambda *_, **__: files
        allocator.reporting.files.reported = lambda *_: files
        allocator.reporting.revisions.files_of = lambda *_: files
        saving.figure_of = lambda drawing: drawing
        allocator.reporting.pictures.staircase.staircase = lambda _: picture
        allocator.reporting.pictures.of_layout.save_plan = lambda *given: saving.write(picture, given[-1])

    def found(self, what):
        self.searched = True
        return what


class Home:
    """A folder to work in: the problem, a layout that is built, an earlier result with a note of the user's."""

    def __init__(self, home: Path, prepared: Prepared, command: str) -> None:
        self.home, self.prepared, self.command = home, prepared, command
        shutil.copytree(prepared.folder, home / "boat")
        (home / "list.csv").write_text("Item,Qty,Amps,Place\nFan,1,2.5,Roof\n")
        (home / "built").mkdir()
        (home / "built" / "layout.json").write_text(prepared.layout.to_json())
        write_result(home / "out", OLD, command="old", version="1", problem="p", problem_sha256="0")
        (home / "out" / "notes.txt").write_text("mine")
        write_sealed(home / "plan.svg", SVG % b"old")
        self.theirs = {"notes.txt": tree(home / "out")["notes.txt"]}
        self.input = self.given()

    def given(self) -> dict[str, dict[str, str]]:
        return {name: tree(self.home / name) for name in ("boat", "built")}

    def act(self) -> dict[str, object]:
        """The command as the shell would run it there."""
        os.chdir(self.home)
        self.prepared.searched = False
        out, err, code = StringIO(), StringIO(), ""
        with redirect_stdout(out), redirect_stderr(err):
            try:
                COMMAND(list(RUN[self.command]))
            except SystemExit as end:
                code = end.code or 0
            except Exception as error:
                code = repr(error)
        return {"code": code, "out": out.getvalue(), "err": err.getvalue(), "searched": self.prepared.searched}

    def check(self, ended, fault: str) -> None:
        assert self.given() == self.input
        writes = "--out" in RUN[self.command]
        command = "old"
        if writes:
            command = whole_result(self.home / "out", self.theirs).command
            heal_for_reading(self.home / "out")
            assert whole_result(self.home / "out", self.theirs).command == command
        assert is_sealed((self.home / "plan.svg").read_bytes())
        if ended.result is not None:
            code = ended.result["code"]
            assert code != 0 or not writes or command == self.command.split()[0]
            if code != 0 and ended.result["searched"]:
                self.check_kept(ended, command != "old", fault)

    def check_kept(self, ended, written: bool, fault: str) -> None:
        """What was found is printed and saved."""
        out, err = ended.result["out"], ended.result["err"]
        named = re.search(r"is saved to (.*)", err)
        if named:
            text = (self.home / named[1]).read_text()
        elif not written and not (self.command == "tradeoff" and "Honey trailer" in out):
            assert fault == "full from here", err
            assert "It follows on standard output" in err
            text = out[out.index('{\n "format"') :].split("\n}\n")[0] + "\n}\n"
        if not written and self.command != "tradeoff":
            found = self.prepared.revision.layout if self.command == "revise" else self.prepared.layout
            assert Layout.from_json(text) == found
        assert fault == "no import" or "Honey trailer" in out


def tried(command: str, fault: str, prepared: Prepared) -> dict[str, object]:
    """Everything that went wrong, and at how many touches the fault was."""
    wrong, touches = [], 0

    def prepare() -> Home:
        return Home(Path(tempfile.mkdtemp(dir=prepared.folder.parent)), prepared, command)

    prepare().act()  # imports what it needs, which the children then need not
    for n, one, ended in every(lambda home: home.act(), fault, prepare):
        touches = n
        try:
            one.check(ended, fault)
            if left_behind(one.home):
                shutil.rmtree(one.home / "made", ignore_errors=True)
                again = one.act()
                assert again["code"] == 0, again
            assert not left_behind(one.home), left_behind(one.home)
        except BaseException:
            wrong.append({"n": n, "hit": ended.hit, "result": ended.result, "what": traceback.format_exc()})
    return {"touches": touches, "wrong": wrong}


if __name__ == "__main__":
    with tempfile.TemporaryDirectory(dir=folder_of_tests()) as made:
        ready = Prepared(Path(made))
        print(json.dumps({one: tried(*one.split("/"), ready) for one in sys.argv[1:]}))
