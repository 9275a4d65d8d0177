from __future__ import annotations

import subprocess
import sys

import pytest

from tests.faults.states import left_behind, whole
from tests.paths import ROOT

WRITER = """
import sys
from pathlib import Path
from allocator.writing.results import write_result

own = sys.argv[2]
for turn in range(40):
    files = {f"{own}-{n}.csv": f"{own} {turn}" for n in range(5)} | {"layout.json": f"{own} {turn}"}
    write_result(Path(sys.argv[1]), files, command=own, version="1", problem="p", problem_sha256="0")
"""


@pytest.mark.parametrize("theirs", [None, "notes.txt", "mine/notes.txt"], ids=["new", "swapped", "moved in"])
def test_runs_that_write_to_one_folder_at_once_leave_the_result_of_one_whole(tmp_path, theirs):
    out, own = tmp_path / "out", {}
    if theirs is not None:
        (out / theirs).parent.mkdir(parents=True)
        (out / theirs).write_text("mine")
        from tests.faults.states import tree

        own = tree(out)
    runs = [
        subprocess.Popen([sys.executable, "-c", WRITER, out, name], stderr=subprocess.PIPE, text=True, cwd=ROOT)
        for name in ("one", "other", "third")
    ]
    for run in runs:
        _, err = run.communicate(timeout=120)
        assert run.returncode == 0, err
    manifest = whole(out, own)
    assert len(manifest.files) == 6
    assert {name.partition("-")[0] for name in manifest.files} == {manifest.command, "layout.json"}
    assert left_behind(tmp_path) == []
