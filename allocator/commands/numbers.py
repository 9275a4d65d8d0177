"""Numbers as they are typed behind an option."""

from __future__ import annotations

import math

import typer


def share(text: str) -> float:
    """A share such as 0.01 or '1 %'."""
    value = finite(text.removesuffix("%").strip())
    return value / 100.0 if text.endswith("%") else value


def finite(text: str) -> float:
    """A number of 0 or more."""
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value) or value < 0.0:
        raise typer.BadParameter(f"'{text}' is not a number of 0 or more")
    return value
