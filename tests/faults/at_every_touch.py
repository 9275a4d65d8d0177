"""Run by the tests in a process of its own: what forks must have no threads. Prints what went wrong, as JSON.

``python -m tests.faults.at_every_touch SCENE/FAULT ...``
"""

from __future__ import annotations

import json
import os
import sys
import tempfile
import traceback
from pathlib import Path

from allocator.writing.moving import heal_for_reading
from allocator.writing.new import new_file, new_folder
from allocator.writing.results import write_result
from allocator.writing.sealed import is_sealed, write_sealed
from tests.faults.injected import every
from tests.faults.states import left_behind, tree, whole

OLD = {"layout.json": "old", "cut-list.csv": "old", "revision.json": "stale"}
NEW = {"layout.json": "new", "cut-list.csv": "new", "lists.xlsx": b"\x00new"}
SVG = b"<?xml version='1.0'?><svg>%s</svg>\n"


def write(folder: Path, contents, command: str) -> None:
    write_result(folder, contents, command=command, version="1", problem="p", problem_sha256="0")


class Result:
    """A result that is written to ``out``: new, over an earlier one, and beside what the user has there."""

    def __init__(self, home: Path, *, old: bool, theirs: str) -> None:
        self.home, self.out = home, home / "deep" / "out"
        if old:
            write(self.out, OLD, "old")
        if theirs:
            (self.out / theirs).parent.mkdir(parents=True, exist_ok=True)
            (self.out / theirs).write_text("mine")
            (self.out / "link").symlink_to("nowhere")
        self.theirs = tree(self.out) if theirs else {}
        self.theirs = {name: one for name, one in self.theirs.items() if name not in OLD and name != "manifest.json"}
        self.old = old

    def act(self) -> None:
        write(self.out, NEW, "new")

    def check(self, ended) -> None:
        heal_for_reading(self.out)
        if self.old or ended.result == "done" or (self.out / "manifest.json").exists():
            command = whole(self.out, self.theirs).command
            assert command in ("old", "new")
            assert command == "new" or ended.killed or ended.error
        else:
            assert tree(self.out) == self.theirs
        self.act()
        assert whole(self.out, self.theirs).command == "new"


class Moved(Result):
    """As where folders cannot change places: files are moved in one by one."""

    def __init__(self, home: Path) -> None:
        super().__init__(home, old=True, theirs="mine/notes.txt")


class SwappedOnly(Result):
    """Where folders change places nothing need be healed: what is seen is whole at any moment."""

    def __init__(self, home: Path) -> None:
        super().__init__(home, old=True, theirs="notes.txt")

    def check(self, ended) -> None:
        whole(self.out, self.theirs)
        super().check(ended)


class Picture:
    """A picture, in place of an earlier one."""

    def __init__(self, home: Path, *, old: bool) -> None:
        self.home, self.path, self.old = home, home / "plan.svg", old
        if old:
            write_sealed(self.path, SVG % b"old")

    def act(self) -> None:
        write_sealed(self.path, SVG % b"new")

    def check(self, _ended) -> None:
        if self.old or self.path.exists():
            assert is_sealed(self.path.read_bytes())
        self.act()
        assert b"new" in self.path.read_bytes()


class Folder:
    """A problem folder that is made, with the folders above it."""

    def __init__(self, home: Path) -> None:
        self.home, self.path = home, home / "deep" / "boat"

    def act(self) -> None:
        new_folder(self.path, {"problem.toml": "1", "loads.csv": "2"})

    def check(self, _ended) -> None:
        if not self.path.exists():
            self.act()
        assert sorted(tree(self.path)) == ["loads.csv", "problem.toml"]
        new_folder(self.path.with_name("next"), {"a": "b"})


class File(Folder):
    """A workbook that is made."""

    def act(self) -> None:
        with new_file(self.path) as aside:
            aside.write_bytes(b"whole")

    def check(self, _ended) -> None:
        if not self.path.exists():
            self.act()
        assert self.path.read_bytes() == b"whole"
        new_folder(self.path.with_name("next"), {"a": "b"})


SCENES = {
    "new": lambda home: Result(home, old=False, theirs=""),
    "over an earlier result": lambda home: Result(home, old=True, theirs=""),
    "beside files": SwappedOnly,
    "beside files alone": lambda home: Result(home, old=False, theirs="notes.txt"),
    "beside a folder": Moved,
    "picture": lambda home: Picture(home, old=False),
    "picture over an earlier one": lambda home: Picture(home, old=True),
    "problem folder": Folder,
    "workbook": File,
}


def tried(scene: str, fault: str, root: Path) -> dict[str, object]:
    """Everything that went wrong, and at how many touches the fault was."""
    wrong, touches = [], 0

    def prepare():
        return SCENES[scene](Path(tempfile.mkdtemp(dir=root)))

    def act(one) -> str:
        one.act()
        return "done"

    for n, one, ended in every(act, fault, prepare):
        touches = n
        try:
            if ended.error and ended.hit not in ("os.remove", "os.rmdir", "open"):
                assert fault == "full from here" or not left_behind(one.home), left_behind(one.home)
            one.check(ended)
            assert not left_behind(one.home), left_behind(one.home)
        except BaseException:
            wrong.append({"n": n, "hit": ended.hit, "error": ended.error, "what": traceback.format_exc()})
    return {"touches": touches, "wrong": wrong}


def folder_of_tests() -> str | None:
    """Where there is one, a file system in memory: it need not be waited for."""
    return "/dev/shm" if os.access("/dev/shm", os.W_OK) else None


if __name__ == "__main__":
    with tempfile.TemporaryDirectory(dir=folder_of_tests()) as root:
        print(json.dumps({one: tried(*one.split("/"), Path(root)) for one in sys.argv[1:]}))
