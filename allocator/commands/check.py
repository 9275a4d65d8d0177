"""``allocator check``."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from allocator.commands.ending import DONE, INTERRUPTED, NO, AsJson, ProblemPath, doubt, end, example, note, read_layout
from allocator.commands.interrupts import Interrupts
from allocator.commands.numbers import finite

if TYPE_CHECKING:
    from allocator.analysis.headroom import Headroom
    from allocator.checking import Report
    from allocator.problem import Problem

EXAMPLE = example("allocator check honey-trailer by-hand.json --headroom")


def check(
    problem: ProblemPath,
    layout: Annotated[Path, typer.Argument(metavar="LAYOUT", help="The layout.json; it may be made by hand.")],
    headroom: Annotated[
        bool, typer.Option("--headroom", help="Also show what may still be added, and the largest load at each unit.")
    ] = False,
    at: Annotated[
        list[str] | None,
        typer.Option(
            "--at", metavar="PLACE", help="With --headroom: also find the largest load at this place; may be repeated."
        ),
    ] = None,
    with_moves: Annotated[
        bool,
        typer.Option("--with-moves", help="With --headroom: solve again for how large it may be if circuits can move."),
    ] = False,
    time_limit: Annotated[
        float | None, typer.Option(metavar="SECONDS", parser=finite, help="Time limit for --with-moves.")
    ] = None,
    json: AsJson = False,
) -> None:
    """Check a layout against every rule and print every violation with its amount."""
    if not headroom and (at or with_moves):
        raise typer.BadParameter("--at and --with-moves only work with --headroom. Add --headroom.")
    end(lambda: _check(problem, layout, headroom, at or (), with_moves, time_limit, json))


def _check(
    path: Path,
    layout_path: Path,
    headroom: bool,
    at: Sequence[str],
    with_moves: bool,
    time_limit_s: float | None,
    as_json: bool,
) -> int:
    from allocator.checking import check as check_layout
    from allocator.commands.given import given_problem
    from allocator.reporting import violations
    from allocator.reporting.text import show

    problem = given_problem(path)
    _known(problem, at)
    layout = read_layout(layout_path)
    doubt(problem, layout)
    report = check_layout(problem, layout)
    room, stopped = None, False
    if headroom:
        room, stopped = _room(problem, report, at, with_moves, time_limit_s)
    if as_json:
        sys.stdout.write(violations.as_json(problem, report, room))
    else:
        show(violations.checked(problem, report, room), sys.stdout)
    if stopped:
        note("interrupted: larger loads were not tried everywhere")
        return INTERRUPTED
    return DONE if report.clean else NO


def _room(
    problem: Problem, report: Report, at: Sequence[str], moves: bool, time_limit_s: float | None
) -> tuple[Headroom, bool]:
    """What may still be added, and whether Ctrl-C ended the search for more."""
    from allocator.analysis.headroom import headroom
    from allocator.reporting import progress

    with progress.ProgressDisplay(sys.stderr) as display, Interrupts() as interrupts:
        found = headroom(
            problem,
            report.layout,
            tuple(dict.fromkeys(at)) or None,
            moves=moves,
            time_limit_s=time_limit_s,
            progress=display.say,
            stopped=interrupts.pressed,
            report=report,
        )
    return found, interrupts.pressed()


def _known(problem: Problem, places: Sequence[str]) -> None:
    """Raise where the problem has no such place, with the name that is nearly right."""
    from allocator.problem import Mistake, ProblemError
    from allocator.problem.near_misses import suggestion

    names = [place.name for place in problem.places]
    mistakes = [
        Mistake(table="places", field="place", value=name, wrong="is not a place of the problem",
                remedy=suggestion(name, names, "place"))
        for name in places if name not in names
    ]  # fmt: skip
    if mistakes:
        raise ProblemError(mistakes)
