"""How figures and names are written: in the tables of a problem, and in sentences on them."""

from __future__ import annotations

from collections.abc import Iterable


def figure(value: float) -> str:
    """A figure as it is written into a table: no more digits than it needs."""
    return f"{round(value, 6):.10g}"


def amperes(value: float) -> str:
    """A current as it is written into a table."""
    return f"{figure(value)} A"


def named(names: Iterable[str]) -> str:
    """Names in quotes; from the fourth on they are counted."""
    every = [f"'{name}'" for name in names]
    shown = every if len(every) <= 3 else [*every[:2], f"{len(every) - 2} more"]
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"
