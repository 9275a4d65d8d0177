"""Numbers as they are typed behind an option."""

from __future__ import annotations

import math

import typer

MOST, LEAST = 1e9, 1e-9
"""Beyond these no number behind an option means anything; a time limit of so many seconds is thirty years."""

MOST_RESERVE = 10.0


def share(text: str) -> float:
    """A share such as 0.01 or '1 %'."""
    value = finite(text.removesuffix("%").strip())
    return value / 100.0 if text.endswith("%") else value


def reserve(text: str) -> float:
    """A share to keep free on top, up to ten times of what is needed."""
    value = share(text)
    if value > MOST_RESERVE:
        raise typer.BadParameter(f"'{text}' is above {MOST_RESERVE * 100:g} %. Write a share such as '20 %' or 0.2")
    return value


def waste(text: str) -> float:
    """A share of wire to buy over what is cut. Above 100 % it is refused: ``10`` is mostly 10 % without its sign."""
    value = share(text)
    if value > 1.0:
        raise typer.BadParameter(f"'{text}' is above 100 %. Write a share such as '10 %' or 0.1")
    return value


def step_m(text: str) -> float:
    """A length above 0 with its unit, in m."""
    from allocator.reading.quantities import LENGTH, UnreadableError, read_quantity

    try:
        value = read_quantity(text, LENGTH)
    except UnreadableError as error:
        raise typer.BadParameter(f"'{text}' {error.wrong}. {error.remedy}") from None
    if not value:
        raise typer.BadParameter(f"'{text}' is not a step length. Write a length above 0, such as '5 cm'")
    return value


def finite(text: str) -> float:
    """A number of 0 or more."""
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value) or value < 0.0:
        raise typer.BadParameter(f"'{text}' is not a number of 0 or more")
    if value > MOST or 0.0 < value < LEAST:
        raise typer.BadParameter(f"'{text}' is not from {LEAST:g} to {MOST:g}. Check the number")
    return value
