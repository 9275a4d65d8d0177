"""A trade-off for people and for programs: table, progress."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import IO, Any

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

from allocator.layout import INFEASIBLE, OPTIMAL
from allocator.pareto_front import OUTPUTS, Point, Step, Tradeoff
from allocator.problem import Problem
from allocator.reporting.blocks import Block, Heading, Paragraph, counted, number
from allocator.reporting.cautions import cautions
from allocator.table import Row, Table, count, figure, text

FORMAT = "allocator-tradeoff/1"


def traded(problem: Problem, tradeoff: Tradeoff) -> tuple[Block, ...]:
    """Every point, what it saves and costs against the one before, and what is proven; then the cautions."""
    own = traded_alone(tradeoff)
    return (*own, *cautions(problem)) if tradeoff.points else own


def traded_alone(tradeoff: Tradeoff) -> tuple[Block, ...]:
    """The same without the cautions, for where they stand already."""
    head = Heading(f"{tradeoff.problem}: copper against {counted_as(tradeoff)}, {tradeoff.status}")
    if not tradeoff.points:
        return (head, *_proof(tradeoff))
    return (
        head,
        Table(
            columns=(
                count("outputs used"),
                count("units fitted"),
                figure("copper", "g", 1),
                figure("g saved by each more", digits=1),
                text("proof"),
            ),
            rows=tuple(_rows(tradeoff)),
        ),
        Heading("Proof"),
        *_proof(tradeoff),
    )


def _rows(tradeoff: Tradeoff) -> Iterator[Row]:
    before: Point | None = None
    for point in tradeoff.points:
        each = None
        if before is not None:
            more = count_of(tradeoff, point) - count_of(tradeoff, before)
            each = (before.copper_g - point.copper_g) / more
        said = "proven" if point.proven else "not proven"
        if not point.proven and point.bound_g is not None:
            said = f"not proven; not under {number(point.bound_g, 1)} g"
        yield point.outputs_used, point.units_fitted, point.copper_g, each, said
        before = point


def count_of(tradeoff: Tradeoff, point: Point) -> int:
    """What is counted of a point."""
    return point.outputs_used if tradeoff.against == OUTPUTS else point.units_fitted


def counted_as(tradeoff: Tradeoff) -> str:
    """What is counted, in words."""
    return "outputs used" if tradeoff.against == OUTPUTS else "units fitted"


def _proof(tradeoff: Tradeoff) -> Iterator[Block]:
    of = counted_as(tradeoff)
    if tradeoff.status == OPTIMAL:
        yield Paragraph(
            f"{counted(len(tradeoff.points), 'point')}, each proven over the options listed: none has less copper "
            f"at as few {of}, none is missing.",
            "good",
        )
    elif tradeoff.status == INFEASIBLE:
        yield Paragraph("No layout is possible: proven. 'allocator solve' says what prevents it.", "bad")
    else:
        yield Paragraph(f"Not complete: {tradeoff.stopped}. Give it more time with --time-limit.", "bad")
    if tradeoff.points:
        yield Paragraph("Copper alone is minimised here: splices, idle outputs and unit mass have no price.", "quiet")
    for cut in tradeoff.cut_short:
        yield Paragraph(f"Not every option was tried: {cut.text}")


def as_json(tradeoff: Tradeoff) -> str:
    """The points for programs, as JSON."""
    return json.dumps(record(tradeoff), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def record(tradeoff: Tradeoff) -> dict[str, Any]:
    """The points for programs; the layout of each reads back as a layout file."""
    points: list[dict[str, Any]] = [
        {
            "outputs_used": point.outputs_used,
            "units_fitted": point.units_fitted,
            "copper_g": point.copper_g,
            "bound_g": point.bound_g,
            "proven": point.proven,
            "layout": json.loads(point.layout.to_json()),
        }
        for point in tradeoff.points
    ]
    return {
        "format": FORMAT,
        "problem": tradeoff.problem,
        "against": tradeoff.against,
        "status": tradeoff.status,
        "stopped": tradeoff.stopped,
        "seconds": tradeoff.seconds,
        "cut_short": [cut.text for cut in tradeoff.cut_short],
        "points": points,
    }


class Bar:
    """A bar over the points on a terminal; elsewhere a line for each."""

    def __init__(self, stream: IO[str]):
        self._stream = stream
        console = Console(file=stream)
        self._live = console.is_terminal
        self._bar = Progress(
            TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), console=console, transient=True
        )
        self._task = self._bar.add_task("points", total=None)

    def __enter__(self) -> Bar:
        if self._live:
            self._bar.start()
        return self

    def __exit__(self, *_: object) -> None:
        if self._live:
            self._bar.stop()

    def __call__(self, step: Step) -> None:
        """Show a step: how many of the counts that may have a point are done."""
        known = step.first is not None and step.least is not None and step.at_most is not None
        total = (step.first or 0) - (step.least or 0) + 1 if known else None
        done = (step.first or 0) - (step.at_most or 0) if known else 0
        if self._live:
            text = counted(step.found, "point")
            self._bar.update(self._task, total=total and max(total, 1), completed=done, description=text)
        else:
            rest = "" if total is None else f", {done} of {total} counts done"
            self._stream.write(f"{counted(step.found, 'point')} found{rest}\n")
            self._stream.flush()
