"""``allocator compare``."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from allocator.commands.ending import DONE, AsJson, ProblemPath, doubt, end, example, read_layout

EXAMPLE = example("allocator compare honey-trailer by-hand.json honey-trailer-out/layout.json")


def compare(
    problem: ProblemPath,
    layouts: Annotated[
        list[Path],
        typer.Argument(metavar="LAYOUT", help="Two or more layout.json files; they may be made by hand."),
    ],
    json: AsJson = False,
) -> None:
    """Show layouts of one problem side by side; one that breaks rules is shown with its violations."""
    if len(layouts) < 2:
        raise typer.BadParameter("There is nothing to compare one layout with. Give two or more.")
    end(lambda: _compare(problem, layouts, json))


def _compare(path: Path, paths: Sequence[Path], as_json: bool) -> int:
    from allocator.analysis.comparison import compare as compare_layouts
    from allocator.commands.given import given_problem
    from allocator.reporting import comparing
    from allocator.reporting.text import show

    problem = given_problem(path)
    layouts = {name: read_layout(one) for name, one in zip(names(paths), paths, strict=True)}
    for name, layout in layouts.items():
        doubt(problem, layout, name)
    found = compare_layouts(problem, layouts)
    if as_json:
        sys.stdout.write(comparing.as_json(problem, found))
    else:
        show(comparing.compared(problem, found), sys.stdout)
    return DONE


def names(paths: Sequence[Path]) -> list[str]:
    """Each path as it was given; one that is given again gets a number."""
    given = [str(path) for path in paths]
    return [f"{name} ({given[: n + 1].count(name)})" if name in given[:n] else name for n, name in enumerate(given)]
