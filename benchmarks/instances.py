"""Every published instance that is at hand, solved through a problem folder: published, ours, status, seconds.

    python -m benchmarks.instances --set cpmp_orlib --time-limit 120

The data are read from ../shared/reference/instances beside the project, or from the folder that the
environment variable ALLOCATOR_INSTANCES names. Ends with 1 if a proven optimum differs from the published one.
"""

from __future__ import annotations

import argparse
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from allocator.layout import OPTIMAL
from allocator.reading import read_problem
from allocator.search.solve import solve
from tests.instances import FOLDER, PUBLICATIONS, Published, published, write


@dataclass(frozen=True)
class Row:
    """What came of an instance."""

    instance: str
    published: float
    ours: float | None
    bound_g: float | None
    status: str
    read_s: float
    solve_s: float
    wrong: bool

    def __str__(self) -> str:
        ours = "-" if self.ours is None else f"{self.ours:.2f}"
        bound = "-" if self.bound_g is None else f"{self.bound_g:.2f}"
        mark = "  WRONG" if self.wrong else ""
        return (
            f"| {self.instance:<29} | {self.published:>11.2f} | {ours:>11} | {bound:>11} | {self.status:<13} "
            f"| {self.read_s:>6.2f} | {self.solve_s:>7.2f} |{mark}"
        )


HEAD = (
    f"| {'instance':<29} | {'published':>11} | {'ours':>11} | {'bound':>11} | {'status':<13} | {'read s':>6} "
    f"| {'solve s':>7} |"
)


def run(row: Published, time_limit_s: float) -> Row:
    """Write, read and solve one instance; the cost is counted from the assignments, in the instance's words."""
    instance = row.read()
    with TemporaryDirectory() as folder:
        written = write(instance, Path(folder))
        began = time.monotonic()
        problem = read_problem(written)
        read = time.monotonic() - began
    began = time.monotonic()
    layout = solve(problem, time_limit_s=time_limit_s)
    seconds = time.monotonic() - began
    ours = instance.cost_of(layout) if layout.circuits else None
    off = ours is None or abs(ours - row.optimum) > instance.rounding
    below = ours is not None and ours < row.optimum - instance.rounding
    wrong = below or (layout.status == OPTIMAL and off)
    return Row(str(row), row.optimum, ours, layout.bound_g, layout.status, read, seconds, wrong)


def main() -> int:
    """Solve the sets asked for, print the table as it grows, then how many were proven."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--set", action="append", choices=sorted(PUBLICATIONS), help="again for more sets")
    parser.add_argument("--time-limit", type=float, default=300.0, help="seconds for each")
    parser.add_argument("--most-customers", type=int, default=1000, help="leave out larger ones")
    parser.add_argument("--jobs", type=int, default=1, help="instances side by side")
    args = parser.parse_args()
    rows = [row for name in args.set or PUBLICATIONS for row in published(name)]
    rows = [row for row in rows if row.customers <= args.most_customers]
    if not rows:
        print(f"no instances in {FOLDER}: set ALLOCATOR_INSTANCES", file=sys.stderr)
        return 2
    print(HEAD)
    done: list[Row] = []
    with ProcessPoolExecutor(args.jobs) as pool:
        for result in pool.map(run, rows, [args.time_limit] * len(rows)):
            done.append(result)
            print(result, flush=True)
    proven = sum(row.status == OPTIMAL and not row.wrong for row in done)
    met = sum(row.ours is not None and row.ours <= row.published + 0.01 for row in done)
    print(f"{len(done)} instances, {proven} proven equal to the published optimum, {met} met")
    return 1 if any(row.wrong for row in done) else 0


if __name__ == "__main__":
    sys.exit(main())
