"""Sheets of ``.xlsx`` and ``.xlsm`` workbooks.

A row and a cell are read as they stand in the file, so that a lone value in the last corner of a sheet costs
nothing. Readers in compiled code that we tried make the whole rectangle (550 GB) and end the process; they leave out
number formats too, and with them the units that are shown behind numbers.
"""

from __future__ import annotations

import datetime
import warnings
import zipfile
from collections.abc import Iterator
from io import BytesIO
from typing import Any
from xml.etree.ElementTree import Element, iterparse

from allocator.reading.cells import (
    COMES_TO_ERROR,
    EMPTY,
    MOST_COLUMNS,
    MOST_ROWS,
    NO_RESULT,
    TO_SMALLER,
    Budget,
    Cell,
    Rows,
    Sheet,
    UnreadableBookError,
    date_cell,
    flag_cell,
    number_cell,
    text_cell,
)

BOOK = "xl/workbook.xml"
MOST_SHEETS = 250
MOST_MERGED = 10_000
"""Merged ranges of a sheet."""

_Range = tuple[int, int, int, int]


def names(data: bytes) -> tuple[str, ...]:
    """Names of the sheets."""
    return tuple(_book(data).sheetnames)


def sheets(data: bytes) -> tuple[Sheet, ...]:
    """Every sheet.

    Raises
    ------
    UnreadableBookError
        Where there is more than is read.
    """
    book, budget = _book(data), Budget()
    if len(book.sheetnames) > MOST_SHEETS:
        wrong = f"has {len(book.sheetnames)} sheets, more than the {MOST_SHEETS} that are read"
        raise UnreadableBookError(wrong, TO_SMALLER)
    with zipfile.ZipFile(BytesIO(data)) as archive:
        return tuple(_sheet(sheet, archive, budget) for sheet in book.worksheets)


def _book(data: bytes) -> Any:
    """The workbook with its cells unread."""
    import openpyxl

    with warnings.catch_warnings():
        # what openpyxl leaves out of a workbook (pictures, drop-downs) is not read here anyhow
        warnings.simplefilter("ignore")
        return openpyxl.load_workbook(BytesIO(data), read_only=True, data_only=True)


def _sheet(sheet: Any, archive: zipfile.ZipFile, budget: Budget) -> Sheet:
    formulas, merged = _besides(archive, sheet._worksheet_path)
    # the size that a sheet states of itself is often wrong, and would fill its rows up to it
    sheet.reset_dimensions()
    rows = Rows(budget)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for number, row in enumerate(sheet.iter_rows(), start=1):
            if number > MOST_ROWS:
                wrong = f"has a sheet '{sheet.title}' of more than {MOST_ROWS:,} rows"
                raise UnreadableBookError(wrong, "Open it in a spreadsheet program and save it again")
            if row:
                rows.add(number, list(_cells(row, formulas.get(number, {}))))
    return Sheet(sheet.title, rows.whole(), tuple(sorted(merged)), sheet.sheet_state != "visible")


def _cells(row: tuple[Any, ...], formulas: dict[int, str]) -> Iterator[Cell]:
    for place, cell in enumerate(row, start=1):
        if cell.value is not None:
            yield _cell(cell)
        elif place in formulas:
            yield Cell(formulas[place], unread=NO_RESULT)
        else:
            yield EMPTY


def _cell(cell: Any) -> Cell:
    value = cell.value
    if cell.data_type == "e":
        return Cell(str(value), unread=COMES_TO_ERROR)
    if isinstance(value, bool):
        return flag_cell(value)
    if isinstance(value, int | float):
        return number_cell(value, cell.number_format)
    if isinstance(value, datetime.datetime | datetime.date | datetime.time | datetime.timedelta):
        return date_cell(value)
    return text_cell(str(value), bool(cell.font and cell.font.b))


def _besides(archive: zipfile.ZipFile, path: str) -> tuple[dict[int, dict[int, str]], list[_Range]]:
    """What the values of a sheet leave out: formulas without a result, by row and column, and merged ranges."""
    from openpyxl.utils.cell import coordinate_to_tuple, range_boundaries

    formulas: dict[int, dict[int, str]] = {}
    merged: list[_Range] = []
    with archive.open(path) as stream:
        above: list[Element] = []
        for event, element in iterparse(stream, ("start", "end")):
            if event == "start":
                above.append(element)
                continue
            above.pop()
            name = element.tag.rpartition("}")[2]
            if name == "c":
                parts = {child.tag.rpartition("}")[2]: child for child in element}
                if "f" in parts and not getattr(parts.get("v"), "text", None) and "r" in element.attrib:
                    row, column = coordinate_to_tuple(element.attrib["r"])
                    formulas.setdefault(row, {})[column] = f"={parts['f'].text or ''}"
            elif name == "row":
                above[-1].clear()  # it and its cells: a sheet may be larger than the memory
            elif name == "mergeCell" and "ref" in element.attrib:
                left, top, right, bottom = range_boundaries(element.attrib["ref"])
                merged.append((top or 1, bottom or MOST_ROWS, left or 1, right or MOST_COLUMNS))
                if len(merged) > MOST_MERGED:
                    wrong = f"has more than {MOST_MERGED:,} merged ranges on a sheet, the most that are read"
                    raise UnreadableBookError(wrong, "Unmerge them")
    return formulas, merged
