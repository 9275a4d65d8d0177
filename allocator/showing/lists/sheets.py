"""Lists as files: a CSV each, and all of them as one workbook that prints."""

from __future__ import annotations

from collections.abc import Iterable
from io import BytesIO
from textwrap import wrap
from typing import TYPE_CHECKING

from allocator.showing.harmless import harmless
from allocator.showing.lists import Build, Listing, made
from allocator.showing.lists.table import COUNT, FIGURE, FILL_IN, TEXT, Cell, Column

if TYPE_CHECKING:
    from openpyxl.cell import Cell as SheetCell
    from openpyxl.cell import MergedCell
    from openpyxl.worksheet.header_footer import HeaderFooterItem
    from openpyxl.worksheet.worksheet import Worksheet

WORKBOOK = "lists.xlsx"
PAGE_WIDE, NARROWEST, TO_WRITE_IN, WORDS_LEFT = 165, 5, 10, 14  # in characters
A4 = 9  # the number of the paper in the format of the workbook
LINE_POINTS = 13
NAME_SHOWN = 80  # header and footer hold 255 characters in all


def list_files(build: Build) -> dict[str, str | bytes]:
    """Contents of ``NAME.csv`` for every list, and of the workbook, by file name."""
    every = made(build)
    return {**{f"{one.name}.csv": csv_of(build, one) for one in every}, WORKBOOK: workbook_of(build, every)}


def csv_of(build: Build, one: Listing) -> str:
    """One list as CSV; in every row the last two columns say the layout's state and the problem's hash."""
    table = one.frame()
    table["layout"], table["problem sha256"] = build.state, build.digest
    words = table.columns[table.dtypes == "object"]
    table[words] = table[words].map(harmless)
    table.columns = table.columns.map(harmless)
    return table.to_csv(index=False, lineterminator="\n")


def workbook_of(build: Build, every: tuple[Listing, ...]) -> bytes:
    """Every list as a sheet; that of broken rules only where there are any."""
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.active)  # type: ignore[arg-type]  # a new workbook has an active sheet
    for one in every:
        if one.rows or one.name != "violations":
            _fill(book.create_sheet(one.name), one)
            _print_setup(book[one.name], build, one)
    stream = BytesIO()
    book.save(stream)
    return stream.getvalue()


def _fill(sheet: Worksheet, one: Listing) -> None:
    """Headings in the first row, which stays in sight; figures as numbers."""
    from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
    from openpyxl.utils import get_column_letter

    thin = Side(style="thin", color="999999")
    lines = Border(left=thin, right=thin, top=thin, bottom=thin)
    for n, column in enumerate(one.columns, start=1):
        heading = sheet.cell(1, n)
        _put(heading, column.heading)
        heading.font, heading.border = Font(bold=True), lines
        heading.fill = PatternFill("solid", fgColor="E6E6E6")
        heading.alignment = Alignment(wrap_text=True, vertical="top")
        for m, row in enumerate(one.rows, start=2):
            cell = sheet.cell(m, n)
            _put(cell, row[n - 1])
            cell.number_format, cell.border = _format(column), lines
            cell.alignment = Alignment(wrap_text=column.kind == TEXT, vertical="top")
    widths = _widths(one)
    for n, width in enumerate(widths, start=1):
        sheet.column_dimensions[get_column_letter(n)].width = width
    headings = tuple(column.heading for column in one.columns)
    for n, line in enumerate((headings, *one.rows), start=1):
        sheet.row_dimensions[n].height = LINE_POINTS * _lines(line, widths) + 2
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = sheet.dimensions


def _put(cell: SheetCell | MergedCell, value: Cell) -> None:
    """A value as it is: text is never a formula, and what no workbook takes becomes '?'."""
    from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

    if not isinstance(value, str):
        cell.value = value
        return
    cell.value = ILLEGAL_CHARACTERS_RE.sub("?", value)
    cell.data_type = "s"
    if value.startswith(("https://", "http://")):
        cell.hyperlink = value


def _format(column: Column) -> str:
    if column.kind == FIGURE:
        return "0." + "0" * column.digits if column.digits else "0"
    return "0" if column.kind == COUNT else "General"


def _lines(row: Iterable[Cell], widths: list[int]) -> int:
    """Lines that the text of a row goes over: not every program finds that out by itself."""
    return max(len(wrap(text, width - 1)) for text, width in zip(map(_shown, row), widths, strict=True))


def _shown(cell: Cell) -> str:
    return cell if isinstance(cell, str) and cell.strip() else "-"


def _widths(one: Listing) -> list[int]:
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
    return max(NARROWEST, *map(len, column.heading.split()), *map(len, shown)) + 1


def _print_setup(sheet: Worksheet, build: Build, one: Listing) -> None:
    """Landscape, as wide as the page, headings on every page; problem, state, hash and page number around it."""
    from openpyxl.worksheet.page import PageMargins
    from openpyxl.worksheet.pagebreak import Break
    from openpyxl.worksheet.properties import PageSetupProperties

    sheet.page_setup.orientation, sheet.page_setup.paperSize = "landscape", A4
    sheet.page_margins = PageMargins(left=0.4, right=0.4, top=0.7, bottom=0.7, header=0.3, footer=0.3)
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.print_title_rows = "1:1"
    _around(sheet.oddHeader, one.title, _said(build.problem.name[:NAME_SHOWN]), build.state)
    _around(sheet.oddFooter, f"problem sha256 {build.digest}", "", "page &P of &N")
    if build.report.violations:
        sheet.sheet_properties.tabColor = "CC0000"
    names = [column.name for column in one.columns]
    if one.breaks_at is not None:
        key = names.index(one.breaks_at)
        for n in range(1, len(one.rows)):
            if one.rows[n][key] != one.rows[n - 1][key]:
                sheet.row_breaks.append(Break(id=n + 1))


def _around(item: HeaderFooterItem | None, *texts: str) -> None:
    """Left, middle and right of a header or footer."""
    assert item is not None, "a new sheet has header and footer"
    for part, text in zip((item.left, item.center, item.right), texts, strict=True):
        part.text = text or None


def _said(name: str) -> str:
    """A user's text in a header: an ampersand would begin a code, a line end another line."""
    return " ".join(name.replace("&", "&&").split())
