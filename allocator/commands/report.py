"""``allocator report``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from allocator.commands.ending import (
    DONE,
    EPILOG,
    NO,
    WRONG_INPUT,
    AsJson,
    ProblemPath,
    doubt,
    end,
    note,
    read_layout,
)

EXAMPLE = "Example: allocator report honey-trailer by-hand.json --out honey-trailer-out. " + EPILOG


def report(
    problem: ProblemPath,
    layout: Annotated[Path, typer.Argument(metavar="LAYOUT", help="The layout.json, also one made by hand.")],
    out: Annotated[Path | None, typer.Option(metavar="DIR", help="Write the lists and the workbook here.")] = None,
    json: AsJson = False,
) -> None:
    """Write the lists of a layout again, without solving. It is checked first; one that breaks rules is listed too."""
    end(lambda: _report(problem, layout, out, json), "the problem folder and the layout")


def _report(path: Path, layout_path: Path, out: Path | None, as_json: bool) -> int:
    from allocator.reading import read_problem
    from allocator.showing import files, reporting
    from allocator.showing.lists import build_of
    from allocator.showing.text import show

    if out is None and not as_json:
        note("nowhere to write the lists to. Give --out DIR, or --json to print them.")
        return WRONG_INPUT
    problem = read_problem(path)
    layout = read_layout(layout_path)
    doubt(problem, layout)
    build = build_of(problem, layout)
    if out is not None:
        files.write(out, files.reported(build))
        note(f"written to {out}")
    if as_json:
        sys.stdout.write(reporting.as_json(build))
    else:
        show(reporting.reported(build), sys.stdout)
    return DONE if build.report.clean else NO
