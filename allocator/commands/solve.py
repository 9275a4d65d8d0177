"""``allocator solve``."""

from __future__ import annotations

import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from allocator.commands.ending import (
    AsJson,
    Gap,
    ProblemPath,
    TimeLimit,
    end,
    ended,
    example,
    note,
    print_json,
    read_layout,
)
from allocator.commands.finished import Finished
from allocator.commands.interrupts import Interrupts
from allocator.commands.output import ensure_out, ensure_pictures, folder, picture, write_out

if TYPE_CHECKING:
    from allocator.checking import Report
    from allocator.infeasibility.why_not import Infeasibility
    from allocator.layout import Layout
    from allocator.problem import Problem

EXAMPLE = example("allocator solve problems/pilot-boat --out pilot-boat-out")

ADVICE_S = 60.0
"""Seconds for finding ways out where no limit is given."""


FACTS_SHOWN = 3
"""Facts that are told at once, before ways out are looked for."""


def solve(
    problem: ProblemPath,
    out: Annotated[
        Path | None,
        typer.Option(
            metavar="DIR", parser=folder, help="Write layout.json, tables as text, lists (CSV, workbook), page.html."
        ),
    ] = None,
    time_limit: TimeLimit = None,
    gap: Gap = "0",  # type: ignore[assignment]  # typer hands a default to the parser as text
    start: Annotated[
        Path | None, typer.Option(metavar="LAYOUT", help="A known layout to start the search from.")
    ] = None,
    plot: Annotated[
        Path | None, typer.Option(metavar="FILE", parser=picture, help="Draw the plan view into a .png or .svg file.")
    ] = None,
    plot_loading: Annotated[
        Path | None,
        typer.Option(metavar="FILE", parser=picture, help="Draw the current of every output into a .png or .svg file."),
    ] = None,
    json: AsJson = False,
) -> None:
    """Find the best layout, prove it, check it, show it. Ctrl-C stops the search and keeps the best so far."""
    end(lambda: _solve(problem, out, time_limit, gap, start, plot, plot_loading, json))


def _solve(
    path: Path,
    out: Path | None,
    time_limit_s: float | None,
    gap: float,
    start: Path | None,
    plot: Path | None,
    plot_loading: Path | None,
    as_json: bool,
) -> int:
    from allocator.commands.given import given_problem
    from allocator.infeasibility.why_not import kept_back_s
    from allocator.layout import FEASIBLE, OPTIMAL
    from allocator.reporting import files, progress
    from allocator.reporting.blocks import counted
    from allocator.search.solve import solve as solve_problem

    began = time.monotonic()
    problem = given_problem(path)
    known = None if start is None else read_layout(start)
    ensure_out(out, path, files.FILES)
    ensure_pictures(plot, plot_loading)
    note(f"{problem.name}: {counted(len(problem.loads), 'load')}, {counted(len(problem.units), 'unit')}")
    reports: list[Report] = []
    with progress.ProgressDisplay(sys.stderr) as display, Interrupts() as interrupts:
        left_s = None if time_limit_s is None else max(0.0, time_limit_s - (time.monotonic() - began))
        layout = solve_problem(
            problem,
            time_limit_s=left_s,
            gap=gap,
            start=known,
            progress=display,
            kept_back_s=kept_back_s(left_s),
            checked=reports.append,
        )
    report = reports[-1] if reports else None
    stopped = "this is the best that the search has found" if interrupts.pressed() else ""
    if layout.status in (OPTIMAL, FEASIBLE):
        with Finished("layout", layout.to_json, lambda: _show(problem, layout, report, as_json), out) as finished:
            if out is not None:
                write_out(out, files.contents(problem, layout, report=report), problem, "solve")
                finished.written = True
                note(f"written to {out}")
            _draw(problem, layout, plot, plot_loading)
            finished.show()
    else:
        left_s = ADVICE_S if time_limit_s is None else max(0.0, time_limit_s - (time.monotonic() - began))
        stopped = _show_without(problem, layout, left_s, stopped, as_json)
    return ended(layout.status, stopped)


def _show(problem: Problem, layout: Layout, report: Report | None, as_json: bool) -> None:
    from allocator.reporting.reading_order import whole
    from allocator.reporting.text import show

    if as_json:
        sys.stdout.write(layout.to_json())
    else:
        show(whole(problem, layout, context=None if report is None else report.context), sys.stdout)


def _show_without(problem: Problem, layout: Layout, left_s: float, stopped: str, as_json: bool) -> str:
    """Say that there is no layout, and why, unless the search was stopped; what is lacking where that was stopped."""
    import json

    from allocator.reporting import infeasibility_report
    from allocator.reporting.reading_order import without
    from allocator.reporting.text import show

    found, cut_off = (None, False) if stopped else _advice(problem, layout.status, left_s)
    if as_json:
        why = None if found is None else infeasibility_report.record(found)
        print_json({**json.loads(layout.to_json()), "why": why})
    else:
        show(without(problem, layout, found), sys.stdout)
    return "there may be other ways out" if cut_off else stopped


def _draw(problem: Problem, layout: Layout, plan: Path | None, loading: Path | None) -> None:
    from allocator.reporting.pictures.of_layout import save_loading, save_plan

    for path, save in ((plan, save_plan), (loading, save_loading)):
        if path is not None:
            save(problem, layout, path)
            note(f"written to {path}")


def _advice(problem: Problem, status: str, limit_s: float) -> tuple[Infeasibility | None, bool]:
    """Why there is no layout and what would make one, as far as it was found; whether Ctrl-C ended it."""
    from allocator.infeasibility.why_not import why_not
    from allocator.layout import INFEASIBLE
    from allocator.options.evident_faults import with_evident_faults
    from allocator.reporting import progress

    for fact in with_evident_faults(problem).faults[:FACTS_SHOWN]:
        note(fact.text)
    known = "no layout is possible: proven" if status == INFEASIBLE else "no layout was found"
    note(f"{known}; looking for reasons and ways out for {limit_s:.0f} s at most")
    try:
        with progress.ProgressDisplay(sys.stderr) as display, Interrupts() as interrupts:
            found = why_not(
                problem, time_limit_s=limit_s, status=status, progress=display.say, stopped=interrupts.pressed
            )
    except KeyboardInterrupt:
        return None, True
    return found, interrupts.pressed()
