"""What the engine saves against a layout made by hand, for each demonstration problem.

By hand: nearest unit first, largest load first, in schedule order; every rule of the check is kept where one
output or another allows it, wires are the lightest along the shortest way. See benchmarks/careful.py. Both as if each
wire lay alone (bundles off): no hand sizes a wire for all that will once lie beside it.

python -m benchmarks.by_hand [PROBLEM ...] [--out DIR] [--time-limit SECONDS]
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from allocator import Layout, Problem, check, solve
from allocator.checking import Report
from benchmarks.careful import by_hand
from benchmarks.demonstrations import PROBLEMS, read_as_if_alone
from benchmarks.markdown import head, line

HEADINGS = (
    "problem",
    "copper by hand g",
    "engine g",
    "saved",
    "wire by hand g",
    "engine g",
    "saved",
    "outputs by hand",
    "engine",
    "by hand",
    "engine",
)


def row(problem: Problem, hand: Layout, engine: Layout) -> list[str]:
    """The figures of one problem, both layouts recomputed by the check."""
    ours, theirs = check(problem, engine), check(problem, hand)
    assert ours.totals is not None and theirs.totals is not None
    return [
        problem.name,
        *_pair(theirs.totals.copper_g, ours.totals.copper_g),
        *_pair(theirs.totals.wire_g, ours.totals.wire_g),
        f"{theirs.totals.outputs_used}",
        f"{ours.totals.outputs_used}",
        state(theirs),
        f"{engine.status}, {state(ours)}",
    ]


def _pair(hand_g: float, engine_g: float) -> list[str]:
    return [f"{hand_g:,.0f}", f"{engine_g:,.0f}", f"{100.0 * (hand_g - engine_g) / hand_g:.1f} %"]


def state(report: Report) -> str:
    """Clean, or the rules broken with how often."""
    broken = Counter(found.rule for found in report.violations)
    return ", ".join(f"{rule} x {count}" for rule, count in broken.items()) or "clean"


def table(folders: Sequence[Path], out: Path | None, time_limit_s: float | None) -> list[str]:
    """A Markdown table; with ``out``, both layouts of each problem as files."""
    lines = [*head(HEADINGS)]
    for folder in folders:
        problem = read_as_if_alone(folder)
        hand, engine = by_hand(problem), solve(problem, time_limit_s=time_limit_s)
        if out is not None:
            _write(out / folder.name / "by-hand" / "layout.json", hand)
            _write(out / folder.name / "engine" / "layout.json", engine)
        lines.append(line(row(problem, hand, engine)))
    return lines


def _write(path: Path, layout: Layout) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(layout.to_json(), encoding="utf-8")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("problems", nargs="*", type=Path, help="problem folders; all of problems/ if none is named")
    parser.add_argument("--out", type=Path, help="write PROBLEM/by-hand/layout.json and PROBLEM/engine/layout.json")
    parser.add_argument("--time-limit", type=float, metavar="SECONDS", help="of the engine, per problem")
    args = parser.parse_args()
    folders = args.problems or sorted(path.parent for path in PROBLEMS.glob("*/problem.toml"))
    print("\n".join(table(folders, args.out, args.time_limit)))


if __name__ == "__main__":
    main()
