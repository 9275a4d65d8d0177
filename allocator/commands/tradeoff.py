"""``allocator tradeoff``."""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from allocator.commands.ending import AsJson, ProblemPath, end, ended, example, note
from allocator.commands.finished import Finished
from allocator.commands.interrupts import Interrupts
from allocator.commands.numbers import finite
from allocator.commands.output import ensure_pictures, picture

if TYPE_CHECKING:
    from allocator.pareto_front import Tradeoff
    from allocator.problem import Problem

EXAMPLE = example("allocator tradeoff problems/hill-climber --plot hill-climber.svg")


def tradeoff(
    problem: ProblemPath,
    units: Annotated[bool, typer.Option("--units", help="Count the units fitted instead of the outputs used.")] = False,
    plot: Annotated[
        Path | None, typer.Option(metavar="FILE", parser=picture, help="Draw the points into a .png or .svg file.")
    ] = None,
    time_limit: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", parser=finite, help="Stop after this long and keep the points found."),
    ] = None,
    json: AsJson = False,
) -> None:
    """Show how much copper extra outputs save: every layout that no other beats on both counts, each proven."""
    end(lambda: _tradeoff(problem, units, plot, time_limit, json))


def _tradeoff(path: Path, units: bool, plot: Path | None, time_limit_s: float | None, as_json: bool) -> int:
    from allocator.commands.given import given_problem
    from allocator.pareto_front import OUTPUTS, UNITS
    from allocator.pareto_front import tradeoff as trade_off
    from allocator.reporting import tradeoffs

    problem = given_problem(path)
    ensure_pictures(plot)
    with tradeoffs.Bar(sys.stderr) as bar, Interrupts() as interrupts:
        found = trade_off(problem, against=UNITS if units else OUTPUTS, time_limit_s=time_limit_s, progress=bar)
    text, show = partial(tradeoffs.as_json, found), partial(_show, problem, found, as_json)
    with Finished("tradeoff", text, show, plot) as finished:
        if plot is not None and found.points:
            _draw(found, plot)
        finished.show()
    return ended(found.status, "these are the points found so far" if interrupts.pressed() else "")


def _draw(found: Tradeoff, plot: Path) -> None:
    from allocator.reporting.pictures import saving
    from allocator.reporting.pictures.staircase import staircase

    saving.write(staircase(found), plot)
    note(f"written to {plot}")


def _show(problem: Problem, found: Tradeoff, as_json: bool) -> None:
    from allocator.reporting import tradeoffs
    from allocator.reporting.text import show

    if as_json:
        sys.stdout.write(tradeoffs.as_json(found))
    else:
        show(tradeoffs.traded(problem, found), sys.stdout)
