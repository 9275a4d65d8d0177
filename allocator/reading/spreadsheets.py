"""Sheets of an ``.xlsx`` file as text, cell by cell, as a person sees them."""

from __future__ import annotations

import datetime
import re
import warnings
import zipfile
from dataclasses import dataclass
from io import BytesIO
from typing import Any

from allocator.problem import Mistake, ProblemError

WORKBOOKS = (".xlsx", ".xlsm")
OTHER_WORKBOOKS = (".xls", ".xlsb", ".ods", ".numbers")
"""Kinds of workbooks that are not read."""

# a number format that shows words behind the number, such as 0.0 "A"
_SHOWN_UNIT = re.compile(r'[0#?](?:\\?[ \u00a0])*"([^"]*)"')


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


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet: rows from 1 on, and the merged ranges as (first row, last row, first column, last column), from 1."""

    name: str
    rows: tuple[tuple[Cell, ...], ...]
    merged: tuple[tuple[int, int, int, int], ...]
    hidden: bool


def sheets_of(file: str, data: bytes) -> tuple[Sheet, ...]:
    """Every sheet of a workbook.

    Raises
    ------
    ProblemError
        Where the bytes are no such workbook.
    """
    values, formulas = _book(file, data), _book(file, data, data_only=False)
    return tuple(
        Sheet(
            sheet.title,
            _rows(sheet, formulas[sheet.title]),
            tuple(
                sorted((area.min_row, area.max_row, area.min_col, area.max_col) for area in sheet.merged_cells.ranges)
            ),
            sheet.sheet_state != "visible",
        )
        for sheet in values.worksheets
    )


def sheet_names(file: str, data: bytes) -> tuple[str, ...]:
    """Names of the sheets of a workbook.

    Raises
    ------
    ProblemError
        Where the bytes are no such workbook.
    """
    return tuple(_book(file, data, read_only=True).sheetnames)


def _book(file: str, data: bytes, *, data_only: bool = True, read_only: bool = False) -> Any:
    """The workbook; ``read_only`` leaves its cells unread."""
    import openpyxl

    try:
        with warnings.catch_warnings():
            # what openpyxl leaves out of a workbook (pictures, drop-downs) is not read here anyhow
            warnings.simplefilter("ignore")
            return openpyxl.load_workbook(BytesIO(data), read_only=read_only, data_only=data_only)
    except (zipfile.BadZipFile, KeyError, ValueError, TypeError, OSError, SyntaxError, AttributeError) as error:
        wrong = f"cannot be read as a workbook ({type(error).__name__})"
        remedy = "Open it in a spreadsheet program and save it as .xlsx without a password"
        raise ProblemError([Mistake(table=file, wrong=wrong, remedy=remedy)]) from None


def _rows(sheet: Any, formulas: Any) -> tuple[tuple[Cell, ...], ...]:
    rows = []
    for row, written in zip(sheet.iter_rows(), formulas.iter_rows(), strict=True):
        cells = [_cell(cell, formula.value) for cell, formula in zip(row, written, strict=True)]
        while cells and not cells[-1].text:
            cells.pop()
        rows.append(tuple(cells))
    while rows and not rows[-1]:
        rows.pop()
    return tuple(rows)


def _cell(cell: Any, written: Any) -> Cell:
    value = cell.value
    if value is None:
        formula = isinstance(written, str) and written.startswith("=")
        return Cell(written, unread="holds a formula whose result was never saved") if formula else Cell("")
    if cell.data_type == "e":
        return Cell(str(value), unread="is a formula that comes to an error")
    if isinstance(value, bool):
        return Cell("yes" if value else "no")
    if isinstance(value, int | float):
        if "%" in cell.number_format.split(";")[0]:
            return Cell(f"{_figure(value * 100.0)} %", number=True)
        return Cell(_figure(value) + _shown_unit(cell.number_format, value), number=True)
    if isinstance(value, datetime.datetime | datetime.date | datetime.time):
        return Cell(value.isoformat())
    return Cell(" ".join(str(value).split()), bold=bool(cell.font and cell.font.b))


def _figure(value: int | float) -> str:
    """A number as it would be typed: 12, not 12.0; 8.3, not 8.300000000000001 of a sum."""
    if isinstance(value, float) and value == value and abs(value) < 1e15:
        value = float(f"{value:.15g}")
        if value == int(value):
            return str(int(value))
    return str(value)


def _shown_unit(number_format: str, value: float) -> str:
    """The words that the number format shows behind the number: who looks at the sheet reads them as its unit."""
    shown = _SHOWN_UNIT.search(number_format.split(";")[0])
    if shown is None or value != value:
        return ""
    return f" {shown[1].strip()}" if shown[1].strip() else ""
