"""Bundles on the terminal: what lies together in each segment, the fullest first."""

from __future__ import annotations

from allocator.checking.context import Context
from allocator.checking.loading import Bundle, bundles_of
from allocator.showing.blocks import Block, Column, Paragraph, Table, counted, number

SHOWN = 5
"""How many segments are shown where not all are."""

_COLUMNS = (
    Column(heading="segment"),
    Column(heading="wires", number=True),
    Column(heading="mm across", number=True),
    Column(heading="loaded", number=True),
    Column(heading="column", number=True),
    Column(heading="factor", number=True),
)


def fullest(context: Context) -> tuple[Bundle, ...]:
    """Segments by how many wires they hold, the fullest first; segments without a wire left out."""
    return tuple(sorted(bundles_of(context), key=lambda b: (-b.wires, b.segment)))


def filled(context: Context, *, in_full: bool = False) -> tuple[Block, ...]:
    """A table of segments: wires with a current, diameter, highest loading, column and factor; nothing without any."""
    found = fullest(context)
    if not found:
        return ()
    shown = found if in_full else found[:SHOWN]
    rows = tuple(
        (
            bundle.name,
            str(bundle.wires),
            number(bundle.diameter_mm, 1),
            f"{number(100.0 * bundle.fullest[1], 0)} %",
            "" if bundle.column is None else f"{number(100.0 * bundle.column, 0)} %",
            "" if bundle.factor is None else number(bundle.factor, 2),
        )
        for bundle in shown
    )
    rest = len(found) - len(shown)
    more = (Paragraph(f"{counted(rest, 'more segment')} with wires, none fuller: the list of bundles has all."),)
    return (Table(title="Fullest bundles", columns=_COLUMNS, rows=rows), *(more if rest else ()))
