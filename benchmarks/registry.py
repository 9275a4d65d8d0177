"""Sizes and phases: what is timed, on what, in one place.

A phase is timed on what the phases before it left. ``process`` is the command from start to end, in an
interpreter of its own; the others are parts of it, with everything imported.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from typing import Any

from allocator.assembly import assemble
from allocator.checking import check
from allocator.model import build
from allocator.options import list_options
from allocator.reading import read_problem
from allocator.search.solve import solve
from allocator.search.warm_start import solution_from
from benchmarks.folders import write
from benchmarks.machines import FEATURES, PLAIN, TIGHT, Size, machine
from benchmarks.timing import timed

SIZES = tuple(Size.of(text) for text in ("12/2/3", "30/2/3", "60/3/6", "100/5/8"))
QUICK = SIZES[:2]
KINDS = {"plain": PLAIN, "full": FEATURES, "tight": TIGHT}
LIMIT_S = 120.0
"""Seconds on the wall that one solve may take."""


@dataclass(frozen=True)
class Case:
    """One machine to time."""

    size: Size
    kind: str

    def __str__(self) -> str:
        return f"{self.size} {self.kind}"


Desk = dict[str, Any]
"""What the phases leave for each other: folder, problem, option list, layout, solution."""


def _read(desk: Desk) -> None:
    desk["problem"] = read_problem(desk["folder"])


def _price(desk: Desk) -> None:
    desk["option_list"] = list_options(desk["problem"])


def _build(desk: Desk) -> None:
    desk["model"] = build(desk["option_list"])


def _solve(desk: Desk) -> None:
    desk["layout"] = solve(desk["problem"], time_limit_s=LIMIT_S)


def _match(desk: Desk) -> None:
    desk["solution"] = solution_from(desk["option_list"], desk["layout"])


def _pin(desk: Desk) -> None:
    assemble(desk["option_list"], desk["solution"])


def _check(desk: Desk) -> None:
    check(desk["problem"], desk["layout"])


PHASES: dict[str, Callable[[Desk], None]] = {
    "read": _read,
    "price": _price,
    "build": _build,
    "solve": _solve,
    "match": _match,
    "pin": _pin,
    "check": _check,
}
"""``solve`` is the whole of it, options to check; ``match`` finds a layout's options again, as a start does."""


def measure(case: Case) -> dict[str, float]:
    """Processor seconds of each phase of a case, and of the whole process."""
    solve(machine(Size(12, 2, 3)))  # what is imported at first use is not timed
    with tempfile.TemporaryDirectory() as place:
        desk: Desk = {"folder": Path(place) / "problem"}
        write(machine(case.size, KINDS[case.kind]), desk["folder"])
        read_problem(desk["folder"])
        seconds = {name: timed(partial(phase, desk))[1] for name, phase in PHASES.items()}
        seconds["process"] = _process(desk["folder"], Path(place) / "out")
    return seconds


def _process(folder: Path, out: Path) -> float:
    """Processor seconds of ``allocator solve`` on a folder."""
    before = getrusage(RUSAGE_CHILDREN)
    command = [sys.executable, "-m", "allocator", "solve", str(folder), "--out", str(out)]
    subprocess.run(
        [*command, "--time-limit", str(LIMIT_S)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=True
    )
    after = getrusage(RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
