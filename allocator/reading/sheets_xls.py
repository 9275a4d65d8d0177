"""Sheets of ``.xls`` workbooks, the format before ``.xlsx``."""

from __future__ import annotations

from io import StringIO
from typing import Any

from allocator.reading.cells import (
    COMES_TO_ERROR,
    EMPTY,
    Budget,
    Cell,
    Rows,
    Sheet,
    date_cell,
    flag_cell,
    number_cell,
    text_cell,
)


def names(data: bytes) -> tuple[str, ...]:
    """Names of the sheets."""
    import xlrd

    with xlrd.open_workbook(file_contents=data, logfile=StringIO(), on_demand=True) as book:
        return tuple(book.sheet_names())


def sheets(data: bytes) -> tuple[Sheet, ...]:
    """Every sheet.

    Raises
    ------
    UnreadableBookError
        Where there is more than is read.
    """
    import xlrd

    # rows that end where their cells do: a lone value in the last column would make all of them as long
    book = xlrd.open_workbook(file_contents=data, logfile=StringIO(), formatting_info=True, ragged_rows=True)
    budget = Budget()
    return tuple(_sheet(book, sheet, budget) for sheet in book.sheets())


def _sheet(book: Any, sheet: Any, budget: Budget) -> Sheet:
    rows = Rows(budget)
    for place in range(sheet.nrows):
        rows.add(place + 1, [_cell(book, cell) for cell in sheet.row(place)])
    merged = sorted((top + 1, bottom, left + 1, right) for top, bottom, left, right in sheet.merged_cells)
    return Sheet(sheet.name, rows.whole(), tuple(merged), sheet.visibility != 0)


def _cell(book: Any, cell: Any) -> Cell:
    import xlrd

    if cell.ctype in (xlrd.XL_CELL_EMPTY, xlrd.XL_CELL_BLANK):
        return EMPTY
    if cell.ctype == xlrd.XL_CELL_ERROR:
        return Cell(xlrd.error_text_from_code.get(cell.value, "#ERROR"), unread=COMES_TO_ERROR)
    if cell.ctype == xlrd.XL_CELL_BOOLEAN:
        return flag_cell(bool(cell.value))
    form = book.xf_list[cell.xf_index]
    if cell.ctype == xlrd.XL_CELL_NUMBER:
        return number_cell(cell.value, book.format_map[form.format_key].format_str)
    if cell.ctype == xlrd.XL_CELL_DATE:
        return date_cell(xlrd.xldate_as_datetime(cell.value, book.datemode))
    return text_cell(str(cell.value), book.font_list[form.font_index].weight >= 700)
