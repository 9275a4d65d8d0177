"""``allocator report``."""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from allocator.commands.ending import (
    DONE,
    INTERRUPTED,
    NO,
    WRONG_INPUT,
    AsJson,
    ProblemPath,
    doubt,
    end,
    example,
    note,
    read_layout,
)
from allocator.commands.finished import Finished
from allocator.commands.interrupts import Interrupts
from allocator.commands.numbers import finite, step_m, waste
from allocator.commands.output import ensure_out, folder, write_out

if TYPE_CHECKING:
    from allocator.pareto_front import Tradeoff
    from allocator.problem import Problem
    from allocator.reporting.lists import Build

EXAMPLE = example("allocator report honey-trailer by-hand.json --out honey-trailer-out")


def report(
    problem: ProblemPath,
    layout: Annotated[Path, typer.Argument(metavar="LAYOUT", help="The layout.json; it may be made by hand.")],
    out: Annotated[
        Path | None,
        typer.Option(metavar="DIR", parser=folder, help="Write layout, lists, workbook and page.html here."),
    ] = None,
    cut_step: Annotated[
        float,
        typer.Option(
            metavar="LENGTH", parser=step_m, help="Round cut lengths up to a multiple of this, such as '10 cm'."
        ),
    ] = "5 cm",  # type: ignore[assignment]  # typer hands a default to the parser as text
    waste_share: Annotated[
        float, typer.Option("--waste", metavar="SHARE", parser=waste, help="Extra wire to buy on top of what is cut.")
    ] = "10 %",  # type: ignore[assignment]
    tradeoff: Annotated[
        bool, typer.Option("--tradeoff", help="Also solve the trade-off of copper against outputs, for the page.")
    ] = False,
    time_limit: Annotated[
        float | None, typer.Option(metavar="SECONDS", parser=finite, help="Time limit for --tradeoff.")
    ] = None,
    json: AsJson = False,
) -> None:
    """Write the lists and the page of a layout again without solving, even if it breaks rules.

    It is checked first: violations come first in everything written.
    """
    if time_limit is not None and not tradeoff:
        raise typer.BadParameter("--time-limit is for the trade-off. Add --tradeoff.")
    end(
        lambda: _report(problem, layout, out, cut_step, waste_share, tradeoff, time_limit, json),
        "the problem folder and the layout",
    )


def _report(
    path: Path,
    layout_path: Path,
    out: Path | None,
    cut_step_m: float,
    waste_share: float,
    trade: bool,
    time_limit_s: float | None,
    as_json: bool,
) -> int:
    from allocator.commands.given import given_problem
    from allocator.reporting import files, written_reports
    from allocator.reporting.lists import build_of

    if out is None and not as_json:
        note("nowhere to write the lists to. Give --out DIR, or --json to print them.")
        return WRONG_INPUT
    problem = given_problem(path)
    layout = read_layout(layout_path)
    doubt(problem, layout)
    _ensure_no_revision(out)
    ensure_out(out, path, files.FILES)
    build = build_of(problem, layout, cut_step_m=cut_step_m, waste=waste_share)
    found, stopped = _traded(problem, time_limit_s) if trade else (None, False)
    text, show = partial(written_reports.as_json, build, found), partial(_show, build, found, as_json)
    with Finished("report", text, show, out) as finished:
        # without a search nothing is lost that cannot be made again at once
        finished.written = found is None
        if out is not None:
            write_out(out, files.reported(layout, build, found), problem, "report")
            finished.written = True
            note(f"written to {out}")
        finished.show()
    if stopped:
        note("interrupted: the trade-off has only the points found so far")
        return INTERRUPTED
    return DONE if build.report.clean else NO


def _ensure_no_revision(out: Path | None) -> None:
    """A revision says what stays in place; a report of its layout would say of every wire that it is to be cut."""
    from allocator.writing.manifest import Manifest
    from allocator.writing.refusal import OutputError

    before = None if out is None else Manifest.read(out)
    if before is not None and before.command == "revise":
        raise OutputError(f"{out}: holds a revision, whose lists say what stays in place. Give another folder.")


def _show(build: Build, found: Tradeoff | None, as_json: bool) -> None:
    from allocator.reporting import written_reports
    from allocator.reporting.text import show

    if as_json:
        sys.stdout.write(written_reports.as_json(build, found))
    else:
        show(written_reports.reported(build), sys.stdout)


def _traded(problem: Problem, time_limit_s: float | None) -> tuple[Tradeoff, bool]:
    """How much copper extra outputs save, and whether Ctrl-C ended the search for more."""
    from allocator.pareto_front import tradeoff
    from allocator.reporting import tradeoffs

    with tradeoffs.Bar(sys.stderr) as bar, Interrupts() as interrupts:
        found = tradeoff(problem, time_limit_s=time_limit_s, progress=bar)
    return found, interrupts.pressed()
