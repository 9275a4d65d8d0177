"""What a change costs on a machine that is built: the clinic van a year later, by the moves that are allowed.

Each revision starts from the optimal layout of the van as it was; the last row throws that away and solves the later
problem as if nothing were built. `new copper` is what has to be made; `in all` is what then lies in the machine.
Bundles are off.

python -m benchmarks.revised [BEFORE AFTER] [--moves N ...]
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from pathlib import Path

from allocator import Layout, Problem, Revision, revise, solve
from benchmarks.demonstrations import PROBLEMS, read_as_if_alone
from benchmarks.markdown import head, line

MOVES = (0, 1, 2, 5)
HEADINGS = ("at most", "moves", "stay", "new copper g", "copper in all g", "objective g", "whole objective g", "proof")


def revisions(after: Problem, built: Layout, moves: Sequence[int]) -> Iterator[tuple[str, Revision]]:
    """A revision for each number of moves, then without a limit; that one against a free re-optimisation."""
    for most in moves:
        yield f"{most}", revise(after, built, max_moves=most, free=False)
    yield "any", revise(after, built)


def table(before: Problem, after: Problem, moves: Sequence[int]) -> Iterator[str]:
    """A Markdown table, row by row."""
    yield from head(HEADINGS)
    last: Revision | None = None
    for name, last in revisions(after, solve(before), moves):
        yield _line(name, last)
    if last is not None and last.free is not None:
        free = last.free
        assert free.layout.totals is not None
        yield line(
            ("free", f"{free.moves}", "", f"{free.new_copper_g:,.0f}", f"{free.layout.totals.copper_g:,.0f}", "",
             _grams(free.layout.objective_g), free.layout.status)
        )  # fmt: skip


def _line(name: str, revision: Revision) -> str:
    if revision.layout is None or revision.layout.totals is None:
        least = "" if revision.least_moves is None else f", {revision.least_moves} at the least"
        return f"| {name} | | | | | | | {revision.status}{least} |"
    cells = (
        name,
        f"{revision.moves}",
        f"{sum(change.what == 'stays' for change in revision.changes)}",
        f"{revision.new_copper_g:,.0f}",
        f"{revision.layout.totals.copper_g:,.0f}",
        _grams(revision.objective_g),
        _grams(revision.layout.objective_g),
        revision.status,
    )
    return line(cells)


def _grams(value: float | None) -> str:
    return "" if value is None else f"{value:,.1f}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument(
        "problems", nargs="*", type=Path, default=[PROBLEMS / "clinic-van", PROBLEMS / "clinic-van-later"],
        help="the problem as it was and as it is; clinic-van and clinic-van-later if none is named",
    )  # fmt: skip
    parser.add_argument("--moves", nargs="+", type=int, default=MOVES, metavar="N", help="moves that are allowed")
    args = parser.parse_args()
    if len(args.problems) != 2:
        parser.error("Name two problem folders, or none.")
    before, after = (read_as_if_alone(folder) for folder in args.problems)
    for text in table(before, after, args.moves):
        print(text, flush=True)


if __name__ == "__main__":
    main()
