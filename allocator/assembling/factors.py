"""Bundle factors of a finished layout: they follow from all its routes and sizes together."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

from allocator.layout import Feed, GivenRun, Layout, PlacedWire

Laid = TypeVar("Laid", PlacedWire, Feed, GivenRun)


def with_factors(layout: Layout, whole: Layout) -> Layout:
    """The layout with the factors of another that is the same but for figures."""
    return replace(
        layout,
        units=tuple(
            unit if unit.feed is None or other.feed is None else replace(unit, feed=_as(unit.feed, other.feed))
            for unit, other in zip(layout.units, whole.units, strict=True)
        ),
        circuits=tuple(
            replace(own, wires=_wires(own.wires, other.wires))
            for own, other in zip(layout.circuits, whole.circuits, strict=True)
        ),
        direct=tuple(
            replace(own, wires=_wires(own.wires, other.wires))
            for own, other in zip(layout.direct, whole.direct, strict=True)
        ),
        given=tuple(_as(own, other) for own, other in zip(layout.given, whole.given, strict=True)),
    )


def _wires(own: tuple[PlacedWire, ...], others: tuple[PlacedWire, ...]) -> tuple[PlacedWire, ...]:
    return tuple(_as(wire, other) for wire, other in zip(own, others, strict=True))


def _as(own: Laid, other: Laid) -> Laid:
    return replace(own, factor=round(other.factor, 6))
