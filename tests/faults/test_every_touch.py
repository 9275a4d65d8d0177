"""Whatever stops a run at whatever moment: afterwards the old result or the new one is there, whole.

The fuller run, every fault in every command, is ``python -m benchmarks.faults``.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

from tests.faults.at_every_touch import SCENES
from tests.paths import ROOT

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="faults are tried in children, which need fork")

FAULTS = ("no space", "full from here", "broken disk", "interrupt", "kill")
FEWEST = {"new": 15, "over an earlier result": 30, "beside a folder": 50}
COMMANDS = (
    "solve/full from here", "solve/kill", "solve/no import", "solve for programs/full from here", "revise/interrupt",
    "report/no space", "tradeoff/kill", "new/kill", "import/full from here",
)  # fmt: skip


def tried(part: str, *scenes: str) -> dict[str, dict]:
    run = subprocess.run(
        [sys.executable, "-m", f"tests.faults.{part}", *scenes],
        capture_output=True, text=True, cwd=ROOT, timeout=600, check=False,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    return json.loads(run.stdout)


@pytest.mark.parametrize("scene", SCENES)
def test_at_every_touch_of_the_disk_the_old_result_or_the_new_one_is_there_whole(scene):
    for name, found in tried("at_every_touch", *(f"{scene}/{fault}" for fault in FAULTS)).items():
        assert found["wrong"] == [], name
        assert found["touches"] >= FEWEST.get(scene, 8)


def test_each_command_that_writes_loses_nothing_at_any_touch():
    for name, found in tried("in_commands", *COMMANDS).items():
        assert found["wrong"] == [], name
        assert found["touches"] >= 10
