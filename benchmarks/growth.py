"""How far the engine gets in a minute as machines grow: status, gap, seconds, memory; each in a process of its own.

python -m benchmarks.growth [SIZE ...] [--kinds plain full tight] [--bundles] [--limit 60] [--seed 1]
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace

from allocator.problem import Margins
from benchmarks.machines import Size, machine
from benchmarks.registry import KINDS

SIZES = tuple(Size.of(text) for text in ("30/2/3", "60/3/6", "100/5/8", "150/7/9", "200/9/10", "300/9/10"))
WITHIN = {100: 0.0, 200: 0.01, 300: 0.02}
"""Largest gap that is asked for at the limit of 60 s, by the number of loads."""


def peak_mb() -> float:
    """Most memory that this process has held, in MB.

    On Linux from ``/proc``: there the figure of ``getrusage`` starts with what the parent held at the fork.
    """
    from pathlib import Path
    from resource import RUSAGE_SELF, getrusage

    status = Path("/proc/self/status")
    if status.exists():
        line = next(x for x in status.read_text(encoding="utf-8").splitlines() if x.startswith("VmHWM:"))
        return int(line.split()[1]) / 1024
    return getrusage(RUSAGE_SELF).ru_maxrss / 1024


def run(size: Size, kind: str, limit_s: float, seed: int, bundles: bool) -> dict[str, object]:
    """Solve one machine here and now; what came of it."""
    from allocator.search.solve import solve

    problem = machine(size, KINDS[kind], seed)
    if bundles:
        problem = replace(problem, margins=replace(problem.margins, bundle=Margins().bundle))
    wall, cpu = time.perf_counter(), time.process_time()
    layout = solve(problem, time_limit_s=limit_s)
    listed = dict(layout.listed)
    return {
        "status": layout.status,
        "gap": layout.gap,
        "objective_g": layout.objective_g,
        "wall_s": time.perf_counter() - wall,
        "cpu_s": time.process_time() - cpu,
        "memory_mb": peak_mb(),
        "options": listed["options"],
        "cut": len(listed["cut_short"]),
    }


def apart(size: Size, kind: str, limit_s: float, seed: int, bundles: bool) -> dict[str, object]:
    """The same in a fresh interpreter, so that memory is of this machine alone.

    Raises
    ------
    RuntimeError
        When the solve fails.
    """
    command = [sys.executable, "-m", "benchmarks.growth", str(size), "--kinds", kind, "--here"]
    done = subprocess.run(
        [*command, "--limit", str(limit_s), "--seed", str(seed), *(["--bundles"] if bundles else [])],
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode != 0:
        raise RuntimeError(f"{size} {kind} failed:\n{done.stderr}")
    found: dict[str, object] = json.loads(done.stdout.splitlines()[-1])
    return found


def table(
    sizes: Sequence[Size], kinds: Sequence[str], limit_s: float = 60.0, seed: int = 1, bundles: bool = False
) -> Iterator[str]:
    """Lines of a Markdown table, each as soon as it is known."""
    yield "| size | options | status | gap | asked | objective g | s | cpu s | peak MB | cut short |"
    yield "|---|---|---|---|---|---|---|---|---|---|"
    for size in sizes:
        for kind in kinds:
            r = apart(size, kind, limit_s, seed, bundles)
            gap = "-" if r["gap"] is None else f"{100 * float(str(r['gap'])):.2f} %"
            asked = next((f"{100 * most:.0f} %" for n, most in WITHIN.items() if size.loads <= n), "-")
            grams = "-" if r["objective_g"] is None else f"{r['objective_g']:.1f}"
            yield (
                f"| {size} {kind} | {r['options']} | {r['status']} | {gap} | {asked} | {grams} "
                f"| {r['wall_s']:.1f} | {r['cpu_s']:.1f} | {r['memory_mb']:.0f} | {r['cut']} |"
            )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("sizes", nargs="*", type=Size.of, default=SIZES, help="such as 60/3/6")
    parser.add_argument("--kinds", nargs="+", choices=KINDS, default=["plain", "full"])
    parser.add_argument("--limit", type=float, default=60.0, help="seconds on the wall for each")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--bundles", action="store_true", help="with bundles held as by default; else they are left out"
    )
    parser.add_argument("--here", action="store_true", help="one machine in this process, as JSON")
    args = parser.parse_args()
    if args.here:
        print(json.dumps(run(args.sizes[0], args.kinds[0], args.limit, args.seed, args.bundles)))
        return
    for line in table(args.sizes, args.kinds, args.limit, args.seed, args.bundles):
        print(line, flush=True)


if __name__ == "__main__":
    main()
