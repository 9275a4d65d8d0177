"""The list to cut wire by: each piece with its label, way, size, insulation class, length, protector and factor."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from typing import Any

from allocator.layout import Layout
from allocator.reporting.blocks import Block, Heading, Paragraph, short
from allocator.reporting.records import wires
from allocator.reporting.without_derating import BESIDE
from allocator.table import JOIN, Row, Table, figure, text

_COLUMNS = (
    text("label"), text("way"), text("wire", whole=True), figure("", "degC", significant=10), figure("", "m"),
    figure("trip, fuse", "A", significant=10), figure("factor"),
)  # fmt: skip

NOTE = (
    "Behind A: the trip setting of its output, or its fuse (f); of the return of outputs in parallel, all their trips "
    "together. Factor: what is left of the ampacity beside other cables, in conduit or foam, or by the table."
)
BARE = "A given wire has no fuse or trip in this layout: fuse it at its supply end, for the current it carries."


def cutting(layout: Layout, beside: AbstractSet[str] = frozenset()) -> tuple[Block, ...]:
    """Every piece of wire in one table; alike cores of a given wire are pieces too.

    ``beside`` are the labels of the cables that lie beside a bundle.
    """
    rows = tuple(_rows(layout, beside))
    if not rows:
        return ()
    notes = (Paragraph(NOTE), *((Paragraph(BARE),) if layout.given else ()))
    return (Heading("Wires to cut"), Table(columns=_COLUMNS, rows=rows), *notes)


def _rows(layout: Layout, beside: AbstractSet[str]) -> Iterator[Row]:
    for one in wires(layout).records():
        yield (
            one["label"],
            f"{_way(one)}, {BESIDE}" if one["label"] in beside else _way(one),
            one["size"],
            one["insulation_c"],
            one["length_m"],
            one["trip_a"] if one["fuse_a"] is None else f"{short(one['fuse_a'])} f",
            one["factor"],
        )


def _way(record: Mapping[str, Any]) -> str:
    """Places from end to end; where both ends are in one place, that place."""
    route = str(record["route"]).replace(JOIN, " - ")
    return route or f"{record['from']} - {record['to']}"
