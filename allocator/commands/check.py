"""``allocator check``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from allocator.commands.ending import DONE, NO, AsJson, ProblemPath, doubt, end, read_layout


def check(
    problem: ProblemPath,
    layout: Annotated[Path, typer.Argument(metavar="LAYOUT", help="The layout.json, also one made by hand.")],
    headroom: Annotated[
        bool, typer.Option("--headroom", help="Tell too what may still be added, and the largest load at each unit.")
    ] = False,
    json: AsJson = False,
) -> None:
    """Hold a layout against every rule; print every violation, with its amount."""
    end(lambda: _check(problem, layout, headroom, json))


def _check(path: Path, layout_path: Path, headroom: bool, as_json: bool) -> int:
    from allocator.checking import check as check_layout
    from allocator.reading import read_problem
    from allocator.showing import violations
    from allocator.showing.text import show

    problem = read_problem(path)
    layout = read_layout(layout_path)
    doubt(problem, layout)
    report = check_layout(problem, layout)
    room = None
    if headroom:
        from allocator.advising.headroom import headroom as headroom_of

        room = headroom_of(problem, report.layout)
    if as_json:
        sys.stdout.write(violations.as_json(problem, report, room))
    else:
        show(violations.checked(problem, report, room), sys.stdout)
    return DONE if report.clean else NO
