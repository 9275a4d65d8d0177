"""What `explain` says other places come to, against the folder with that pin written into it and solved from nothing.

For loads taken evenly from the schedule: the load's `unit` column is set in a copy of `loads.csv`, the copy is read
and solved without a start. Where the unit itself is asked for at another site, its `sites` are cut down to that one.
Bundles are off in both.

python -m benchmarks.explained [PROBLEM ...] [--loads N]
"""

from __future__ import annotations

import argparse
import csv
import shutil
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from allocator import Layout, Problem, explain, solve
from allocator.explaining.forcing import Force, Forced
from allocator.problem import Supply
from benchmarks.demonstrations import PROBLEMS, read_as_if_alone
from benchmarks.markdown import head, line

LOADS = 10
SAME_G = 1e-3
"""Grams within which two objectives are the same: figures of a layout are rounded to a milligram."""
HEADINGS = ("problem", "load", "forced onto", "objective g", "more g", "separate solve g", "same")


@dataclass(frozen=True, kw_only=True)
class Held:
    """One forced alternative beside its separate solve; objectives are None where there is no layout."""

    forced: Forced
    separate: Layout

    @property
    def same(self) -> bool:
        """Whether both say the same: status and total."""
        ours, theirs = self.forced.objective_g, self.separate.objective_g
        if ours is None or theirs is None:
            return self.forced.status == self.separate.status
        return self.forced.status == self.separate.status and abs(ours - theirs) <= SAME_G


def spread_out(problem: Problem, count: int) -> list[str]:
    """Loads that a unit feeds and that have a row of their own, taken evenly from the schedule."""
    fed = [load.name for load in problem.loads if load.supply is Supply.UNIT and load.name == load.item]
    count = min(count, len(fed))
    return [fed[n * len(fed) // count] for n in range(count)]


def pinned(folder: Path, force: Force) -> Problem:
    """The folder read again with the pin of a force written into it."""
    with tempfile.TemporaryDirectory() as place:
        copy = Path(place) / folder.name
        shutil.copytree(folder, copy)
        _write_unit(copy / "loads.csv", force.load, force.unit)
        problem = read_as_if_alone(copy)
    if force.site is None:
        return problem
    held = [replace(unit, sites=(force.site,)) if unit.name == force.unit else unit for unit in problem.units]
    return replace(problem, units=tuple(held))


def _write_unit(path: Path, load: str, unit: str) -> None:
    """Set the `unit` column of a row; an output that it was pinned to is not one of that unit."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    headings = list(dict.fromkeys((*rows[0], "unit", "output")))
    for row in rows:
        if row["load"] == load:
            row["unit"], row["output"] = unit, ""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, headings, lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def table(folders: Sequence[Path], count: int) -> Iterator[str]:
    """A Markdown table, row by row, and how many were the same."""
    yield from head(HEADINGS)
    found = []
    explaining = 0.0
    for folder in folders:
        problem = read_as_if_alone(folder)
        layout = solve(problem)
        for load in spread_out(problem, count):
            began = time.process_time()
            elsewhere = explain(problem, load, layout, exact=True).elsewhere
            explaining += time.process_time() - began
            for forced in elsewhere:
                found.append(Held(forced=forced, separate=solve(pinned(folder, forced.force))))
                yield line(_row(problem, found[-1]))
    loads = len({one.forced.force.load for one in found})
    same = sum(one.same for one in found)
    yield ""
    yield f"{same} of {len(found)} the same, {loads} loads, {explaining / max(1, loads):.1f} s to explain one of them"


def _row(problem: Problem, one: Held) -> list[str]:
    force = one.forced.force
    where = force.unit if force.site is None else f"{force.unit} at {force.site}"
    return [
        problem.name,
        force.load,
        where,
        _grams(one.forced.objective_g) or one.forced.status,
        _grams(one.forced.more_g),
        _grams(one.separate.objective_g) or one.separate.status,
        "yes" if one.same else "NO",
    ]


def _grams(value: float | None) -> str:
    return "" if value is None else f"{value:,.3f}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("problems", nargs="*", type=Path, help="problem folders; clinic-van if none is named")
    parser.add_argument("--loads", type=int, default=LOADS, metavar="N", help=f"how many loads ({LOADS})")
    args = parser.parse_args()
    for text in table(args.problems or [PROBLEMS / "clinic-van"], args.loads):
        print(text, flush=True)


if __name__ == "__main__":
    main()
