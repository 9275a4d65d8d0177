"""``allocator revise``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from allocator.commands.ending import AsJson, Gap, ProblemPath, TimeLimit, end, ended, example, note, read_layout
from allocator.commands.finished import Finished
from allocator.commands.interrupts import Interrupts
from allocator.commands.numbers import finite
from allocator.commands.output import ensure_out, folder, within, write_out

if TYPE_CHECKING:
    from allocator.problem import Problem
    from allocator.revising import Revision

EXAMPLE = example("allocator revise problems/clinic-van-later van/layout.json --max-moves 2")


def revise(
    problem: ProblemPath,
    layout: Annotated[Path, typer.Argument(metavar="LAYOUT", help="The layout.json of what is built.")],
    max_moves: Annotated[
        int | None,
        typer.Option(metavar="N", min=0, help="Move at most this many of the loads and feeds that could stay."),
    ] = None,
    frozen: Annotated[
        bool, typer.Option("--frozen", help="Move nothing that can stay; same as --max-moves 0.")
    ] = False,
    move: Annotated[
        float | None,
        typer.Option(
            metavar="GRAMS", parser=finite, help="What one move is worth in grams, instead of the problem's value."
        ),
    ] = None,
    resite: Annotated[bool, typer.Option("--resite", help="Let units move to other sites.")] = False,
    out: Annotated[
        Path | None,
        typer.Option(metavar="DIR", parser=folder, help="Write the revised layout, its lists and all changes here."),
    ] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Let --out replace the folder that LAYOUT is in.")] = False,
    exact: Annotated[
        bool,
        typer.Option("--exact", help="Prove in full what starting afresh would save; by default 20 s are spent on it."),
    ] = False,
    time_limit: TimeLimit = None,
    gap: Gap = "0",  # type: ignore[assignment]  # typer hands a default to the parser as text
    json: AsJson = False,
) -> None:
    """Adapt a built layout to a changed problem: least new copper, and finished wires stay unless moving them pays."""
    most = 0 if frozen else max_moves
    given = "the problem folder and the layout"
    end(lambda: _revise(problem, layout, most, move, resite, out, replace, exact, time_limit, gap, json), given)


def _revise(
    path: Path,
    layout_path: Path,
    max_moves: int | None,
    move_g: float | None,
    resite: bool,
    out: Path | None,
    replace: bool,
    exact: bool,
    time_limit_s: float | None,
    gap: float,
    as_json: bool,
) -> int:
    from allocator.commands.given import given_problem
    from allocator.reporting import progress, revisions
    from allocator.reporting.blocks import counted
    from allocator.revising import revise as revise_problem
    from allocator.writing.refusal import OutputError

    problem = given_problem(path)
    built = read_layout(layout_path)
    ensure_out(out, path, revisions.REVISION_FILES)
    if out is not None and not replace and within(layout_path, out):
        raise OutputError(
            f"{out}: holds the layout that is built. Give another folder, or --replace if it is no longer needed."
        )
    note(f"{problem.name}: {counted(len(problem.loads), 'load')}, {counted(len(problem.units), 'unit')}")
    with progress.ProgressDisplay(sys.stderr) as display, Interrupts() as interrupts:
        revision = revise_problem(
            problem,
            built,
            max_moves=max_moves,
            move_g=move_g,
            resite=resite,
            exact=exact,
            time_limit_s=time_limit_s,
            gap=gap,
            progress=display,
        )
    if revision.layout is None:
        _show(problem, revision, as_json)
    else:
        with Finished("layout", revision.layout.to_json, lambda: _show(problem, revision, as_json), out) as finished:
            if out is not None:
                write_out(out, revisions.files_of(problem, revision), problem, "revise")
                finished.written = True
                note(f"written to {out}")
            finished.show()
    return ended(revision.status, "this is the best that the search has found" if interrupts.pressed() else "")


def _show(problem: Problem, revision: Revision, as_json: bool) -> None:
    from allocator.reporting import revisions
    from allocator.reporting.text import show

    if as_json:
        sys.stdout.write(revisions.as_json(revision))
    else:
        show(revisions.revised(problem, revision), sys.stdout)
