"""The rule that only a hand may leave decisions to the check."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from itertools import zip_longest
from typing import Any

from allocator.checking.report import Breach
from allocator.evaluation.context import Context
from allocator.layout import HAND_MADE

FIGURES = ("current_a", "drop_percent", "length_m", "copper_g", "wire_g", "factor")


def left_out(context: Context) -> Iterator[Breach]:
    """A layout that was not made by hand states every decision: what is not in the file is not built.

    Completing changes nothing that is stated, so whatever differs from the completed layout was left out.
    """
    stated, whole = context.stated, context.layout
    if stated.status == HAND_MADE:
        return
    pairs: list[tuple[str, Any, Any]] = [
        (f"unit {one.name}", one, own) for one, own in zip(stated.units, whole.units, strict=True)
    ]
    pairs += [(f"circuit {one.name}", one, own) for one, own in zip(stated.circuits, whole.circuits, strict=True)]
    pairs += [(f"direct load {one.load}", one, own) for one, own in zip(stated.direct, whole.direct, strict=True)]
    # a given wire without a run has its run behind those that are stated
    pairs += [(f"given wire {own.wire}", one, own) for one, own in zip_longest(stated.given, whole.given)]
    for label, one, own in pairs:
        count = _differences(one, own)
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
