"""``allocator solve``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from allocator.commands.ending import AsJson, Gap, ProblemPath, TimeLimit, end, ended, note, read_layout
from allocator.commands.interrupts import Interrupts

if TYPE_CHECKING:
    from allocator.layout import Layout
    from allocator.problem import Problem


def solve(
    problem: ProblemPath,
    out: Annotated[
        Path | None,
        typer.Option(metavar="DIR", help="Write layout.json, the tables as text, and CSV lists here."),
    ] = None,
    time_limit: TimeLimit = None,
    gap: Gap = "0",  # type: ignore[assignment]  # typer hands a default to the parser as text
    start: Annotated[
        Path | None, typer.Option(metavar="LAYOUT", help="A known layout to start the search from.")
    ] = None,
    json: AsJson = False,
) -> None:
    """Find the best layout, prove it, check it, show it. Ctrl-C stops the search with the best so far."""
    end(lambda: _solve(problem, out, time_limit, gap, start, json))


def _solve(
    path: Path, out: Path | None, time_limit_s: float | None, gap: float, start: Path | None, as_json: bool
) -> int:
    from allocator.layout import FEASIBLE, OPTIMAL
    from allocator.reading import read_problem
    from allocator.showing import files, progress
    from allocator.showing.blocks import counted
    from allocator.solving import solve as solve_problem

    problem = read_problem(path)
    known = None if start is None else read_layout(start)
    if out is not None:
        files.ensure_writable(out)
    note(f"{problem.name}: {counted(len(problem.loads), 'load')}, {counted(len(problem.units), 'unit')}")
    with progress.Watch(sys.stderr) as watch, Interrupts() as interrupts:
        layout = solve_problem(problem, time_limit_s=time_limit_s, gap=gap, start=known, progress=watch)
    if out is not None and layout.status in (OPTIMAL, FEASIBLE):
        files.write(out, files.contents(problem, layout))
        note(f"written to {out}")
    _show_solved(problem, layout, as_json, time_limit_s)
    return ended(layout.status, "this is what the search had by then" if interrupts.pressed() else "")


def _show_solved(problem: Problem, layout: Layout, as_json: bool, time_limit_s: float | None) -> None:
    from allocator.layout import FEASIBLE, OPTIMAL
    from allocator.showing.reading_order import ADVICE_S, whole, without
    from allocator.showing.text import show

    if as_json:
        sys.stdout.write(layout.to_json())
    elif layout.status in (OPTIMAL, FEASIBLE):
        show(whole(problem, layout), sys.stdout)
    else:
        show(without(problem, layout, ADVICE_S if time_limit_s is None else time_limit_s), sys.stdout)
