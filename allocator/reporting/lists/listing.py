"""A list that a harness is built from: a table whose cells are of the type of their column, without idle digits."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite
from typing import TYPE_CHECKING

from allocator.table import COUNT, FIGURE, FILL_IN, TEXT, Cell, Column, Row, Table

if TYPE_CHECKING:
    from pandas import DataFrame

DIGITS_KEPT = 6
_DTYPES = {TEXT: "object", FIGURE: "float64", COUNT: "Int64", FILL_IN: "object"}


def listing(
    name: str,
    title: str,
    columns: Iterable[Column],
    rows: Iterable[Row],
    note: str = "",
    breaks_at: str | None = None,
) -> Table:
    """A list of rows that have a cell for each column, no two of which are called the same.

    Parameters
    ----------
    name
        Name of the CSV file and sheet.
    title
        Heading.
    columns
        The columns.
    rows
        The rows, one cell for each column.
    note
        What a reader should know, below the list.
    breaks_at
        Key of the column at whose changes a page may break.
    """
    columns = tuple(columns)
    kept = tuple(tuple(_kept(cell, column) for cell, column in zip(row, columns, strict=True)) for row in rows)
    one = Table(name=name, title=title, columns=columns, rows=kept, note=note, breaks_at=breaks_at)
    assert len({*one.keys}) == len(columns), f"{name}: two columns have one heading"
    return one


def _kept(cell: Cell, column: Column) -> Cell:
    """A cell without the digits that mean nothing; a figure that is none (a share of nothing) is empty."""
    if isinstance(cell, int | float) and column.kind == FIGURE:
        return round(float(cell), DIGITS_KEPT) if isfinite(cell) else None
    return "" if cell is None and column.kind == TEXT else cell


def typed(one: Table) -> DataFrame:
    """A list for pandas: figures as floats, counts as whole numbers that may be missing, the rest as text."""
    from pandas import DataFrame

    frame = DataFrame(one.rows, columns=list(one.keys), dtype="object")
    return frame.astype({column.key: _DTYPES[column.kind] for column in one.columns})
