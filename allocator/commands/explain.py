"""``allocator explain``."""

from __future__ import annotations

import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from allocator.commands.ending import (
    DONE,
    INTERRUPTED,
    NO,
    NOTHING_FOUND,
    AsJson,
    ProblemPath,
    doubt,
    end,
    example,
    note,
    print_json,
    read_layout,
)
from allocator.commands.interrupts import Interrupts
from allocator.commands.numbers import finite

if TYPE_CHECKING:
    from allocator.checking import Report
    from allocator.explaining.compromises import Compromises
    from allocator.explaining.explanation import Explanation
    from allocator.infeasibility.why_not import Infeasibility
    from allocator.layout import Layout
    from allocator.problem import Problem
    from allocator.reporting.blocks import Block
    from allocator.search.stopwatch import Stopped, Told

EXAMPLE = example(
    "allocator explain problems/clinic-van 'vaccine freezer'",
    "Exit codes: 0 explained; 1 no layout is possible; 2 the input is wrong or cannot be read; 3 stopped before a "
    "layout was found; 70 internal error; 130 interrupted.",
)


def explain(
    problem: ProblemPath,
    load: Annotated[str | None, typer.Argument(metavar="LOAD", help="The load to explain, as in the schedule.")] = None,
    layout: Annotated[
        Path | None,
        typer.Option(metavar="LAYOUT", help="The layout to explain; without it, the problem is solved first."),
    ] = None,
    time_limit: Annotated[
        float | None,
        typer.Option(
            metavar="SECONDS",
            parser=finite,
            help="Time limit for everything that is solved; without it, 40 s for all the other places together.",
        ),
    ] = None,
    exact: Annotated[
        bool,
        typer.Option("--exact", help="Prove each layout in full; else the extra weight is given to within a tenth."),
    ] = False,
    json: AsJson = False,
) -> None:
    """Explain why a load is where it is, which circuits gave way most, or why no layout is possible.

    With LOAD: its options in order of copper, what the layout would weigh with it forced elsewhere, and what prevents
    that. Without LOAD: the ten costliest compromises. Where no layout is possible: the reasons, and ways out.
    """
    end(lambda: _explain(problem, load, layout, time_limit, exact, json))


def _explain(
    path: Path, load: str | None, layout_path: Path | None, time_limit_s: float | None, exact: bool, as_json: bool
) -> int:
    from allocator.commands.given import given_problem
    from allocator.explaining.explanation import Explanation
    from allocator.infeasibility.why_not import Infeasibility
    from allocator.reporting import explaining, infeasibility_report, progress

    problem = given_problem(path)
    layout = None if layout_path is None else read_layout(layout_path)
    report = None if layout is None else _checked(problem, layout)
    with progress.ProgressDisplay(sys.stderr) as display, Interrupts() as interrupts:
        found = _found(problem, load, report, time_limit_s, exact, display.say, interrupts.pressed)
    if isinstance(found, Infeasibility):
        _print(infeasibility_report.whole(found), infeasibility_report.record(found), as_json)
    elif isinstance(found, Explanation):
        _print(explaining.explained(problem, found), explaining.explained_record(found), as_json)
    elif found is not None:
        _print(explaining.costliest(problem, found), explaining.costliest_record(found), as_json)
    if interrupts.pressed():
        note("interrupted: what was still being solved is left out, or not proven")
        return INTERRUPTED
    if found is None:
        missing = "no layout was found" if layout is None else "nothing was explained"
        note(f"{problem.name}: {missing} in the time: give it more time")
        return NOTHING_FOUND
    if isinstance(found, Infeasibility):
        return NO if found.proven else NOTHING_FOUND
    return DONE


def _found(
    problem: Problem,
    load: str | None,
    report: Report | None,
    time_limit_s: float | None,
    exact: bool,
    told: Told,
    stopped: Stopped,
) -> Explanation | Compromises | Infeasibility | None:
    """The explanation; where there is no layout, why; None where it was stopped before anything was known."""
    from allocator.clock import TimeUpError
    from allocator.explaining.why import NoLayoutError
    from allocator.explaining.why import explain as explained
    from allocator.infeasibility.why_not import why_not

    began = time.monotonic()
    try:
        return explained(
            problem,
            load,
            None if report is None else report.layout,
            time_limit_s=time_limit_s,
            progress=told,
            stopped=stopped,
            exact=exact,
            report=report,
        )
    except TimeUpError:
        return None
    except NoLayoutError as nothing:
        status = nothing.layout.status
        if stopped():
            return None
    left_s = None if time_limit_s is None else max(0.0, time_limit_s - (time.monotonic() - began))
    return why_not(problem, time_limit_s=left_s, status=status, progress=told, stopped=stopped)


def _checked(problem: Problem, layout: Layout) -> Report:
    """The check of a layout. Warns where it is not one of this problem, or breaks rules: its figures compare badly."""
    from allocator.checking import check
    from allocator.reporting.blocks import counted

    doubt(problem, layout)
    report = check(problem, layout)
    if not report.clean:
        count = counted(len(report.violations), "violation")
        note(f"warning: the layout breaks rules ({count}; see 'allocator check'); its figures may mislead")
    return report


def _print(blocks: tuple[Block, ...], record: dict[str, Any], as_json: bool) -> None:
    from allocator.reporting.text import show

    if as_json:
        print_json(record)
    else:
        show(blocks, sys.stdout)
