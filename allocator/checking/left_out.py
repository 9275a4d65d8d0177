"""The rule that only a hand may leave decisions to the check."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from typing import Any

from allocator.checking.context import Context
from allocator.checking.report import Breach
from allocator.layout import HAND_MADE, Circuit, FittedUnit

FIGURES = ("current_a", "drop_percent", "length_m", "copper_g", "wire_g", "factor")


def left_out(context: Context) -> Iterator[Breach]:
    """A layout that was not made by hand states every decision: what is not in the file is not built.

    Completing changes nothing that is stated, so whatever differs from the completed layout was left out.
    """
    if context.stated.status == HAND_MADE:
        return
    pairs: list[tuple[str, FittedUnit | Circuit, FittedUnit | Circuit]] = [
        (f"unit {unit.name}", unit, whole)
        for unit, whole in zip(context.stated.units, context.layout.units, strict=True)
    ]
    pairs += [
        (fed.label, circuit, fed.circuit)
        for circuit, fed in zip(context.stated.circuits, context.circuits, strict=True)
    ]
    for label, stated, whole in pairs:
        count = _differences(stated, whole)
        if count:
            yield Breach(label, count, "decisions", f"{label} leaves {count} decisions out")


def _differences(stated: Any, whole: Any) -> int:
    """Decisions that differ between two objects of a layout, counted; figures are none."""
    if stated == whole:
        return 0
    if type(stated) is type(whole) and hasattr(stated, "__dataclass_fields__"):
        names = [f.name for f in fields(stated) if f.name not in FIGURES]
        return sum(_differences(getattr(stated, name), getattr(whole, name)) for name in names)
    if isinstance(stated, tuple) and isinstance(whole, tuple) and stated:
        pairs = zip(stated, whole, strict=False)
        return abs(len(whole) - len(stated)) + sum(_differences(one, other) for one, other in pairs)
    return 1
