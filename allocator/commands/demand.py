"""``allocator demand``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from allocator.commands.ending import DONE, AsJson, end, example
from allocator.commands.numbers import finite, reserve, share

if TYPE_CHECKING:
    from allocator.output_count import OutputSteps

EXAMPLE = example("allocator demand my-loads.xlsx --steps 8,15,20 --reserve 25%")

LEAST_RATING_A, MOST_RATING_A = 0.01, 10_000.0
MOST_RATINGS = 200


class Ratings(tuple[float, ...]):
    """Ratings in A; a type of its own, for typer takes a plain tuple for several words."""


def steps(text: str) -> Ratings:
    """Ratings such as ``8,15,20``, in A."""
    values = sorted({finite(part.strip().removesuffix("A").strip()) for part in text.replace(";", ",").split(",")})
    for value in values:
        if not LEAST_RATING_A <= value <= MOST_RATING_A:
            bounds = f"from {LEAST_RATING_A:g} to {MOST_RATING_A:g} A"
            raise typer.BadParameter(f"'{text}' holds a rating of {value:g} A. Give ratings {bounds}")
    if len(values) > MOST_RATINGS:
        raise typer.BadParameter(f"{len(values)} ratings are more than {MOST_RATINGS}. Leave some out")
    return Ratings(values)


def used(text: str) -> float:
    """A share above 0, up to 1."""
    value = share(text)
    if not 0.0 < value <= 1.0:
        raise typer.BadParameter(f"'{text}' is not above 0, up to 100 %")
    return value


def demand(
    schedule: Annotated[
        Path, typer.Argument(metavar="SCHEDULE", help="The spreadsheet or CSV file, or a problem folder or workbook.")
    ],
    ratings: Annotated[
        Ratings | None,
        typer.Option(
            "--steps",
            metavar="A,A,...",
            parser=steps,
            help="Output ratings to count with. Default: the standard ratings 4, 6.3, 10, 16, 25 A.",
        ),
    ] = None,
    output_use: Annotated[
        float, typer.Option("--use", metavar="SHARE", parser=used, help="Share of its rating that an output may carry.")
    ] = "0.8",  # type: ignore[assignment]  # typer hands a default to the parser as text
    reserve: Annotated[
        float, typer.Option(metavar="SHARE", parser=reserve, help="Share to keep in reserve on top.")
    ] = "20%",  # type: ignore[assignment]
    json: AsJson = False,
) -> None:
    """Count the outputs and amperes that a schedule calls for, before any unit is chosen."""
    from allocator.output_count import STEPS_A, OutputSteps

    end(lambda: _demand(schedule, OutputSteps(ratings or STEPS_A, output_use), reserve, json), "the schedule")


def _demand(path: Path, sizing: OutputSteps, reserve: float, as_json: bool) -> int:
    from allocator.load_demand import demand as demand_of
    from allocator.reporting import demands
    from allocator.reporting.text import show

    found = demand_of(path, sizing, reserve)
    if as_json:
        sys.stdout.write(demands.as_json(found))
    else:
        show(demands.shown(found), sys.stdout)
    return DONE
