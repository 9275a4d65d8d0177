"""Circuits that layouts feed in different ways."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from allocator.analysis.comparison import Comparison
from allocator.analysis.layout_differences import Difference, Way
from allocator.reporting.blocks import Block, Heading, Paragraph, counted, number
from allocator.table import Row, Table, figure, text

_COLUMNS = (
    text("loads"), text("", whole=True), text("fed from"), figure("trip,\nfuse", "A", significant=10), text("wires"),
    figure("copper\ng", digits=1),
)  # fmt: skip


def circuits_apart(found: Comparison, marks: Sequence[str]) -> Iterator[Block]:
    """Each circuit that differs, one line a layout; those that differ in which of alike outputs only are named."""
    if len(found.layouts) < 2:
        return
    yield Heading("Circuits that differ")
    apart = [one for one in found.circuits if not one.pins_only]
    if apart:
        rows = tuple(row for one in apart for row in _rows(one, marks))
        yield Table(columns=_COLUMNS, rows=rows)
    else:
        yield Paragraph("none in wires, trips or units")
    pins = [", ".join(one.loads) for one in found.circuits if one.pins_only]
    if pins:
        of = counted(len(pins), "circuit differs", "circuits differ")
        yield Paragraph(f"{of} only in which outputs of the same class are used: {'; '.join(pins)}.", "quiet")


def _rows(difference: Difference, marks: Sequence[str]) -> Iterator[Row]:
    first = ", ".join(difference.loads)
    for mark, ways in zip(marks, difference.ways, strict=True):
        if not ways:
            yield (first, mark, "nothing", None, None, None)
            first = ""
        for way in ways:
            whose = f": {', '.join(way.loads)}" if way.loads != tuple(sorted(difference.loads)) else ""
            yield (first, mark, f"{_outputs(way)}{whose}", way.guard_a, _wires(way), way.copper_g)
            first, mark = "", ""


def _outputs(way: Way) -> str:
    return f"{way.origin} {', '.join(way.pins)}".strip()


def _wires(way: Way) -> str:
    """Metres of each size."""
    metres: dict[str, float] = {}
    for _, size, _, length in way.wires:
        metres[size] = metres.get(size, 0.0) + (length or 0.0)
    return ", ".join(f"{size} {number(length)} m" for size, length in metres.items())
