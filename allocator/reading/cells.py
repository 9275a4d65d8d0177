"""Cells of a sheet as text, as a person sees them, and how many of them are read at the most."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from dataclasses import dataclass

MOST_ROWS = 1_048_576
"""Rows of a sheet, in every format that is read."""

MOST_COLUMNS = 16_384
"""Columns of a sheet, in every format that is read."""

MOST_CELLS = 1_000_000
"""Cells of a workbook that hold something: some hundred times those of the largest problem that we know of."""

MOST_PLACES = 20_000_000
"""Rows and cells of a workbook that are passed on the way to the last ones that hold something."""

# a number format that shows words behind the number, such as 0.0 "A"
_SHOWN_UNIT = re.compile(r'[0#?](?:\\?[ \u00a0])*"([^"]*)"')

TO_SMALLER = "Keep only what is needed, in a workbook of its own"
NO_RESULT = "holds a formula whose result was never saved"
COMES_TO_ERROR = "is a formula that comes to an error"


class UnreadableBookError(ValueError):
    """A workbook that cannot be read: what is wrong with it, and what would do."""

    def __init__(self, wrong: str, remedy: str):
        super().__init__(wrong)
        self.wrong = wrong
        self.remedy = remedy


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its text, and whether it is a number rather than something typed as text.

    ``bold`` is how it is set; ``unread`` says why no value can be known: a formula whose result was never saved,
    or that is an error.
    """

    text: str
    number: bool = False
    unread: str = ""
    bold: bool = False


EMPTY = Cell("")


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet: rows from 1 on, and the merged ranges as (first row, last row, first column, last column), from 1."""

    name: str
    rows: tuple[tuple[Cell, ...], ...]
    merged: tuple[tuple[int, int, int, int], ...]
    hidden: bool


class Budget:
    """What may still be read of a workbook. Its sheets may be vast, and most of what they hold is nothing."""

    def __init__(self) -> None:
        self._cells = self._places = 0

    def take(self, cells: int, places: int) -> None:
        """Count cells that hold something, and places passed on the way to them.

        Raises
        ------
        UnreadableBookError
            Where a workbook holds more than is read.
        """
        self._cells += cells
        self._places += places
        if self._cells > MOST_CELLS:
            raise UnreadableBookError(f"holds more than {MOST_CELLS:,} cells, the most that are read", TO_SMALLER)
        if self._places > MOST_PLACES:
            wrong = f"spreads its cells over more than {MOST_PLACES:,} places, the most that are read"
            raise UnreadableBookError(wrong, TO_SMALLER)


class Rows:
    """Rows of one sheet, put together from those that hold something, in their order."""

    def __init__(self, budget: Budget):
        self._budget = budget
        self._rows: list[tuple[Cell, ...]] = []

    def add(self, number: int, cells: Sequence[Cell]) -> None:
        """Add the row of that number, from 1; the empty cells at its end are left out, and so is an empty row."""
        last = len(cells)
        while last and not cells[last - 1].text:
            last -= 1
        if not last:
            return
        if number > MOST_ROWS or last > MOST_COLUMNS:
            wrong = f"has a cell in row {number:,}, column {last:,}, beyond the end of any sheet"
            raise UnreadableBookError(wrong, "Open it in a spreadsheet program and save it again")
        self._budget.take(sum(1 for cell in cells if cell.text), last + number - len(self._rows))
        self._rows += [()] * (number - 1 - len(self._rows))
        self._rows.append(tuple(cells[:last]))

    def whole(self) -> tuple[tuple[Cell, ...], ...]:
        """Every row, up to the last that holds something."""
        return tuple(self._rows)


def text_cell(text: str, bold: bool = False) -> Cell:
    """A cell of text, in which one space parts the words."""
    return Cell(" ".join(text.split()), bold=bold)


def flag_cell(value: bool) -> Cell:
    """A cell that is true or false."""
    return Cell("yes" if value else "no")


def number_cell(value: int | float, number_format: str) -> Cell:
    """A number as its format shows it: as percent, or with the words behind it that stand for its unit."""
    shown = number_format.split(";")[0]
    if "%" in shown:
        return Cell(f"{_figure(value * 100.0)} %", number=True)
    return Cell(_figure(value) + _shown_unit(shown, value), number=True)


def date_cell(value: datetime.datetime | datetime.date | datetime.time | datetime.timedelta) -> Cell:
    """A cell that is a day or a time."""
    return Cell(str(value) if isinstance(value, datetime.timedelta) else value.isoformat())


def _figure(value: int | float) -> str:
    """A number as it would be typed: 12, not 12.0; 8.3, not 8.300000000000001 of a sum."""
    if isinstance(value, float) and value == value and abs(value) < 1e15:
        value = float(f"{value:.15g}")
        if value == int(value):
            return str(int(value))
    return str(value)


def _shown_unit(number_format: str, value: float) -> str:
    """The words that the number format shows behind the number: who looks at the sheet reads them as its unit."""
    shown = _SHOWN_UNIT.search(number_format)
    if shown is None or value != value:
        return ""
    return f" {shown[1].strip()}" if shown[1].strip() else ""
