"""Tables as people read them."""

from __future__ import annotations

from collections.abc import Iterable

from allocator.reporting.blocks import Block, cell_text
from allocator.table import Table

Rows = tuple[tuple[str, ...], ...]


def tables(blocks: Iterable[Block]) -> list[Table]:
    return [block for block in blocks if isinstance(block, Table)]


def rows(table: Table) -> Rows:
    """Each cell as text."""
    return tuple(tuple(map(cell_text, row, table.columns)) for row in table.rows)


def headings(table: Table) -> list[str]:
    """Headings on one line each."""
    return [column.heading.replace("\n", " ") for column in table.columns]
