"""A list as plain data: columns that know their unit, and rows. Tables of pandas, CSV and workbook are made of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import isfinite
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pandas import DataFrame

Cell = str | float | int | None
Row = tuple[Cell, ...]

TEXT, FIGURE, COUNT, FILL_IN = "text", "figure", "count", "fill in"
DIGITS_KEPT = 6


@dataclass(frozen=True, slots=True)
class Column:
    """One column. ``kind`` is text, figure, count, or what is left to be filled in by hand.

    ``digits`` of a figure are shown in a workbook; up to `DIGITS_KEPT` are kept.
    """

    name: str
    kind: str = TEXT
    unit: str = ""
    digits: int = 2

    @property
    def heading(self) -> str:
        """Name with the unit in brackets, as in the headings that are read."""
        return f"{self.name} [{self.unit}]" if self.unit else self.name


def text(name: str) -> Column:
    """A column of words."""
    return Column(name)


def figure(name: str, unit: str, digits: int = 2) -> Column:
    """A column of figures in a unit; a share is given in ``%``, a pure number without unit."""
    return Column(name, FIGURE, unit, digits)


def count(name: str) -> Column:
    """A column of whole numbers."""
    return Column(name, COUNT)


def fill_in(name: str, unit: str = "") -> Column:
    """A column that is left empty, to be written into at the bench."""
    return Column(name, FILL_IN, unit)


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """One list: ``name`` is that of file and sheet, ``note`` says how to read it.

    ``breaks_at`` is the column at whose changes a new page begins.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    note: str = ""
    breaks_at: str | None = None

    def cells(self, row: Row) -> Row:
        """One row with each cell of the type of its column, as it stands in `frame`."""
        return tuple(
            cell if cell is None or column.kind not in _TYPES else _TYPES[column.kind](cell)
            for cell, column in zip(row, self.columns, strict=True)
        )

    def frame(self) -> DataFrame:
        """The list as a table: figures as floats, counts as whole numbers that may be missing, the rest as text."""
        from pandas import DataFrame

        headings = [column.heading for column in self.columns]
        table = DataFrame(list(map(list, self.rows)), columns=headings, dtype="object")
        return table.astype({column.heading: _DTYPES[column.kind] for column in self.columns})


_TYPES: dict[str, Callable[[Any], float | int]] = {FIGURE: float, COUNT: int}
_DTYPES = {TEXT: "object", FIGURE: "float64", COUNT: "Int64", FILL_IN: "object"}


def _kept(cell: Cell, column: Column) -> Cell:
    """A cell without the digits that mean nothing; a figure that is none (a share of nothing) is empty."""
    if isinstance(cell, float):
        return round(cell, DIGITS_KEPT) if isfinite(cell) else None
    return "" if cell is None and column.kind == TEXT else cell


def listing(
    name: str,
    title: str,
    columns: Iterable[Column],
    rows: Iterable[Row],
    note: str = "",
    breaks_at: str | None = None,
) -> Listing:
    """A list of rows that have a cell for each column."""
    columns, rows = tuple(columns), tuple(rows)
    assert all(len(row) == len(columns) for row in rows), f"{name}: a row has not one cell for each column"
    headings = [column.heading for column in columns]
    assert len({*headings}) == len(headings), f"{name}: two columns have one heading"
    kept = tuple(tuple(_kept(cell, column) for cell, column in zip(row, columns, strict=True)) for row in rows)
    return Listing(name=name, title=title, columns=columns, rows=kept, note=note, breaks_at=breaks_at)

