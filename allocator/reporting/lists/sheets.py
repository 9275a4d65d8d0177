"""Lists as files: a CSV each, and all of them as one workbook that prints."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from io import BytesIO
from textwrap import wrap
from typing import TYPE_CHECKING

from allocator.reporting.csv_text import csv_text
from allocator.reporting.lists import Build, made
from allocator.reporting.xml import fit_for_xml
from allocator.table import COUNT, FIGURE, FILL_IN, TEXT, Cell, Column, Table

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

WORKBOOK = "lists.xlsx"
PAGE_WIDE, NARROWEST, TO_WRITE_IN, WORDS_LEFT = 165, 5, 10, 14  # in characters
PADDING = 5 / 7  # of a cell, in characters: it is part of our widths, and XlsxWriter adds it
A4 = 9  # the number of the paper in the format of the workbook
LINE_POINTS = 13
LONGEST_SAID = 80  # header and footer hold 255 characters in all
LONGEST_LINK = 1000  # the format holds twice as many
UNDATED = datetime(1980, 1, 1)  # the format wants a date: one that is always the same, so that the bytes are too
BOX = {"border": 1, "border_color": "#999999", "valign": "top"}


def list_files(build: Build) -> dict[str, str | bytes]:
    """Contents of ``NAME.csv`` for every list, and of the workbook, by file name.

    In every row of a CSV the last two columns say the layout's state and the problem's hash.
    """
    every, marks = made(build), {"layout": build.state, "problem sha256": build.digest}
    return {**{f"{one.name}.csv": csv_text(one, marks) for one in every}, WORKBOOK: workbook_of(build, every)}


def workbook_of(build: Build, every: tuple[Table, ...]) -> bytes:
    """Every list as a sheet; that of broken rules only where there are any. The same lists give the same bytes."""
    from xlsxwriter import Workbook

    stream = BytesIO()
    with Workbook(stream, {"in_memory": True}) as book:
        book.set_properties({"created": UNDATED})
        heading = book.add_format({**BOX, "bold": True, "bg_color": "#E6E6E6", "text_wrap": True})
        for one in every:
            if one.rows or one.name != "violations":
                sheet = book.add_worksheet(one.name)
                formats = [
                    book.add_format({**BOX, "num_format": _format(column), "text_wrap": column.kind == TEXT})
                    for column in one.columns
                ]
                _fill(sheet, one, heading, formats)
                _print_setup(sheet, build, one)
    return stream.getvalue()


def _fill(sheet: Worksheet, one: Table, heading: Format, formats: Sequence[Format]) -> None:
    """Headings in the first row, which stays in sight; figures as numbers."""
    widths = _widths(one)
    for n, (name, width) in enumerate(zip(one.keys, widths, strict=True)):
        sheet.set_column(n, n, width - PADDING)
        sheet.write_string(0, n, name, heading)
    for m, row in enumerate(one.rows, start=1):
        for n, (cell, format_) in enumerate(zip(row, formats, strict=True)):
            _put(sheet, m, n, cell, format_)
    for m, line in enumerate((one.keys, *one.rows)):
        sheet.set_row(m, LINE_POINTS * _lines(line, widths) + 2)
    sheet.freeze_panes(1, 0)
    sheet.autofilter(0, 0, len(one.rows), len(one.columns) - 1)


def _put(sheet: Worksheet, row: int, column: int, value: Cell, format_: Format) -> None:
    """A value as it is: text is never a formula, and what no workbook takes becomes '?'."""
    cell = "" if value is None else f"{value}"
    if isinstance(value, int | float):
        sheet.write_number(row, column, value, format_)
    elif not cell:
        sheet.write_blank(row, column, None, format_)
    elif cell.startswith(("https://", "http://")) and len(cell) <= LONGEST_LINK:
        sheet.write_url(row, column, fit_for_xml(cell), format_)
    else:
        sheet.write_string(row, column, fit_for_xml(cell), format_)


def _format(column: Column) -> str:
    if column.kind == FIGURE:
        return "0." + "0" * column.digits if column.digits else "0"
    return "0" if column.kind == COUNT else "General"


def _lines(row: Iterable[Cell], widths: list[int]) -> int:
    """Lines that the text of a row goes over: not every program finds that out by itself."""
    return max(len(wrap(text, width - 1)) for text, width in zip(map(_shown, row), widths, strict=True))


def _shown(cell: Cell) -> str:
    return cell if isinstance(cell, str) and cell.strip() else "-"


def _widths(one: Table) -> list[int]:
    """Widths of the columns: where they are more than a page takes, text goes over several lines, the longest first.

    So it is printed in letters that can be read, for the page is made as wide as the sheet.
    """
    widths = [_width(column, [row[n] for row in one.rows]) for n, column in enumerate(one.columns)]
    words = [n for n, column in enumerate(one.columns) if column.kind == TEXT]
    for _ in range(sum(widths) - PAGE_WIDE):
        longest = max(words, key=lambda n: widths[n], default=None)
        if longest is None or widths[longest] <= WORDS_LEFT:
            break
        widths[longest] -= 1
    return widths


def _width(column: Column, cells: list[Cell]) -> int:
    """Characters that a column is wide with all on one line; its heading may be broken between words."""
    if column.kind == FILL_IN:
        return TO_WRITE_IN
    shown = (f"{cell:.{column.digits}f}" if isinstance(cell, float) else str(cell or "") for cell in cells)
    return max(NARROWEST, *map(len, column.key.split()), *map(len, shown)) + 1


def _print_setup(sheet: Worksheet, build: Build, one: Table) -> None:
    """Landscape, as wide as the page, headings on every page; problem, state, hash and page number around it."""
    sheet.set_landscape()
    sheet.set_paper(A4)
    sheet.set_margins(left=0.4, right=0.4, top=0.7, bottom=0.7)
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)
    name = _said(build.problem.name)
    apart = " " if name[:1].isdecimal() else ""  # a figure right after the code would be the size of the letters
    sheet.set_header(f"&L{one.title}&C{apart}{name}&R{_said(build.state)}", {"margin": 0.3})
    sheet.set_footer(f"&Lproblem sha256 {_said(build.digest)}&Rpage &P of &N", {"margin": 0.3})
    if build.report.violations:
        sheet.set_tab_color("#CC0000")
    if one.breaks_at is not None:
        key = one.keys.index(one.breaks_at)
        starts = [n for n in range(1, len(one.rows)) if one.rows[n][key] != one.rows[n - 1][key]]
        sheet.set_h_pagebreaks([n + 1 for n in starts])  # below the headings and the rows before


def _said(text: str) -> str:
    """A user's text in a header, where an ampersand begins a code and a line end another line.

    XlsxWriter takes an ampersand before a G or a bracket for a picture, doubled or not: they are set apart.
    """
    shown = " ".join(fit_for_xml(text[:LONGEST_SAID]).replace("&", "&&").split())
    return shown.replace("&G", "& G").replace("&[", "& [")
