"""What bundles cost in each demonstration problem, its warmest bundle and its weakest margins.

python -m benchmarks.in_bundles [PROBLEM ...] [--time-limit SECONDS]

Seconds are of the wall clock, solve and check together, of one process.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from allocator import Layout, Problem, check, read_problem, solve
from allocator.analysis.margins import margins
from allocator.evaluation.bundle_figures import bundles
from benchmarks.demonstrations import PROBLEMS, as_if_alone
from benchmarks.markdown import head, line

HEADINGS = ("problem", "alone g", "seconds", "in bundles g", "status, gap", "seconds", "warmest bundle")


def timed(problem: Problem, time_limit_s: float | None) -> tuple[Layout, float]:
    """A layout that the check takes, and the seconds that it took."""
    began = time.monotonic()
    layout = solve(problem, time_limit_s=time_limit_s)
    return layout, time.monotonic() - began


def row(problem: Problem, alone: tuple[Layout, float], bundled: tuple[Layout, float]) -> list[str]:
    """The figures of one problem."""
    layout = bundled[0]
    figures = [problem.name, _grams(alone[0]), f"{alone[1]:.0f}", _grams(layout)]
    gap = "" if layout.gap is None else f", {100.0 * layout.gap:.1f} %"
    figures += [f"{layout.status}{gap}", f"{bundled[1]:.0f}"]
    if layout.objective_g is None:
        return [*figures, ""]
    assert check(problem, layout).clean
    held = [(one, one.warmest) for one in bundles(problem, layout) if one.warmest is not None]
    if not held:
        return [*figures, ""]
    first, warmth = max(held, key=lambda pair: pair[1].share)
    across = f"{first.wires} wires, {first.diameter_mm:.0f} mm"
    return [*figures, f"{first.name}: {across}, {100.0 * warmth.share:.0f} % of what it may give ({warmth.condition})"]


def _grams(layout: Layout) -> str:
    return "none" if layout.objective_g is None else f"{layout.objective_g:,.1f}"


def weakest(problem: Problem, layout: Layout) -> Iterator[str]:
    """The five weakest margins in a line each, with what would relieve them."""
    if layout.objective_g is not None:
        for one in margins(problem, layout).weakest():
            alike = f" and {one.alike} alike" if one.alike else ""
            yield f"* {one.kind}, {one.object}{alike}: {100.0 * one.used:.1f} % used; {one.relief}"


def report(folders: Sequence[Path], time_limit_s: float | None) -> Iterator[str]:
    """A Markdown table, then the weakest margins problem by problem."""
    yield from head(HEADINGS)
    found = []
    for folder in folders:
        problem = read_problem(folder)
        bundled = timed(problem, time_limit_s)
        found.append((problem, bundled[0]))
        yield line(row(problem, timed(as_if_alone(problem), time_limit_s), bundled))
    for problem, layout in found:
        yield f"\n{problem.name}:\n"
        yield from weakest(problem, layout)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("problems", nargs="*", type=Path, help="problem folders; all of problems/ if none is named")
    parser.add_argument("--time-limit", type=float, metavar="SECONDS", help="of each solve")
    args = parser.parse_args()
    folders = args.problems or sorted(path.parent for path in PROBLEMS.glob("*/problem.toml"))
    for text in report(folders, args.time_limit):
        print(text, flush=True)


if __name__ == "__main__":
    main()
