"""The list to cut wire by: each piece with its label, way, size, insulation class, length, protector and factor."""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Set as AbstractSet

from allocator.layout import Layout
from allocator.showing.beside import BESIDE
from allocator.showing.blocks import Block, Column, Heading, Paragraph, Table, number, short
from allocator.showing.records import JOIN, Record, wire_records

_COLUMNS = (
    Column(heading="label"),
    Column(heading="way"),
    Column(heading="wire", whole=True),
    Column(heading="degC", number=True),
    Column(heading="m", number=True),
    Column(heading="trip, fuse A", number=True),
    Column(heading="factor", number=True),
)

NOTE = (
    "Behind A: the trip setting of its output, or its fuse (f); of the return of outputs in parallel, all their trips "
    "together. Factor: what is left of the ampacity beside other cables, in conduit or foam, or by the table."
)
BARE = "A given wire has no protector in this layout: fuse it where its current comes from, for what it carries."


def cutting(layout: Layout, beside: AbstractSet[str] = frozenset()) -> tuple[Block, ...]:
    """Every piece of wire in one table; alike cores of a given wire are pieces too.

    ``beside`` are the labels of the cables that lie beside a bundle.
    """
    rows = tuple(_rows(layout, beside))
    if not rows:
        return ()
    notes = (Paragraph(NOTE), *((Paragraph(BARE),) if layout.given else ()))
    return (Heading("Wires to cut"), Table(title="", columns=_COLUMNS, rows=rows), *notes)


def _rows(layout: Layout, beside: AbstractSet[str]) -> Iterator[tuple[str, ...]]:
    for record in wire_records(layout):
        yield (
            str(record["label"]),
            f"{_way(record)}, {BESIDE}" if record["label"] in beside else _way(record),
            str(record["size"]),
            _figure(record["insulation_c"]),
            _figure(record["length_m"], 2),
            _protector(record),
            _figure(record["factor"], 2),
        )


def _way(record: Record) -> str:
    """Places from end to end; where both ends are in one place, that place."""
    route = str(record["route"]).replace(JOIN, " - ")
    return route or f"{record['from']} - {record['to']}"


def _protector(record: Record) -> str:
    if record["fuse_a"] is not None:
        return f"{_figure(record['fuse_a'])} f"
    return _figure(record["trip_a"])


def _figure(value: str | float | None, digits: int | None = None) -> str:
    if not isinstance(value, int | float):
        return ""
    return short(value) if digits is None else number(value, digits)
