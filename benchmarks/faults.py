"""Every fault at every touch of the disk, in every scene and every command that writes: how many, and what was lost.

``python -m benchmarks.faults`` takes some minutes. Exit code 1 if anything was lost; what it was is told as JSON.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator

from benchmarks.markdown import head, line
from tests.faults.at_every_touch import SCENES
from tests.faults.injected import FAULTS
from tests.paths import ROOT

COMMANDS = ("solve", "solve for programs", "revise", "report", "tradeoff", "new", "import")


def tried(part: str, scene: str, fault: str) -> dict[str, object]:
    """What the harness found in a process of its own."""
    command = [sys.executable, "-m", f"tests.faults.{part}", f"{scene}/{fault}"]
    run = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=True)
    return json.loads(run.stdout)[f"{scene}/{fault}"]


def table(wrong: list[object]) -> Iterator[str]:
    """Rows of scenes and commands, a column for each fault: touches at which it was tried, and how often all held."""
    yield from head(["what is written", *FAULTS])
    for part, scenes in (("at_every_touch", SCENES), ("in_commands", COMMANDS)):
        for scene in scenes:
            cells = []
            for fault in FAULTS:
                if fault == "no import" and part == "at_every_touch":
                    cells.append("")  # nothing is imported while files are written
                    continue
                found = tried(part, scene, fault)
                lost = len(found["wrong"])
                wrong += found["wrong"]
                cells.append(f"{found['touches'] - lost} of {found['touches']}")
            yield line([scene, *cells])


def main() -> None:
    wrong: list[object] = []
    for row in table(wrong):
        print(row, flush=True)
    if wrong:
        print(json.dumps(wrong, indent=1), file=sys.stderr)
        sys.exit(1)


if __name__ == "__main__":
    main()
