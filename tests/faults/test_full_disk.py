"""A disk that is full for real: a small file system in memory, mounted where the system allows it."""

from __future__ import annotations

import errno
import os
import subprocess

import pytest

from allocator.writing.results import write_result
from tests.faults.states import left_behind, tree, whole

OLD = {"layout.json": "old" * 4000, "stale.csv": "old" * 3000}
NEW = {"layout.json": "new" * 6000, "lists.xlsx": b"\x00new" * 9000}
PAGE = 4096
PAGES = 40


def write(folder, contents, command):
    write_result(folder, contents, command=command, version="1", problem="p", problem_sha256="0")


@pytest.fixture
def disk(tmp_path):
    """A file system of so many pages."""
    home = tmp_path / "disk"
    home.mkdir()
    try:
        subprocess.run(
            ["mount", "-t", "tmpfs", "-o", f"size={PAGES * PAGE}", "tmpfs", home], check=True, capture_output=True
        )
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("no file system can be mounted here: tests/faults/test_every_touch.py fills a disk by raising")
    yield home
    subprocess.run(["umount", "-l", home], check=True)


@pytest.mark.parametrize("theirs", ["notes.txt", "mine/notes.txt"], ids=["swapped", "moved in"])
def test_on_a_full_disk_the_old_result_stays_whole_whatever_room_is_left(disk, theirs):
    full = 0
    for pages in range(PAGES):
        out = disk / "out"
        write(out, OLD, "old")
        (out / theirs).parent.mkdir(exist_ok=True)
        (out / theirs).write_text("mine")
        own = {name: one for name, one in tree(out).items() if name not in OLD and name != "manifest.json"}
        (disk / "filler").write_bytes(b"x" * min(pages * PAGE, room(disk)))
        before = tree(disk)
        try:
            write(out, NEW, "new")
        except OSError as error:
            assert error.errno == errno.ENOSPC
            assert tree(disk) == before
            full += 1
        else:
            assert whole(out, own).command == "new"
        assert left_behind(disk) == []
        (disk / "filler").unlink()
        write(out, NEW, "new")
        assert whole(out, own).command == "new"
    assert 5 < full < PAGES


def room(disk) -> int:
    found = os.statvfs(disk)
    return found.f_bavail * found.f_frsize
