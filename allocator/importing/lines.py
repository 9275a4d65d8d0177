"""What each line of a schedule is: an item, a section, a total, a note, a heading again, or nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from allocator.importing import vocabulary as words
from allocator.importing.columns import Columns
from allocator.importing.grid import Grid, GridCell
from allocator.importing.marks import is_total
from allocator.importing.total_rows import TotalRows

ITEM, SECTION, TOTAL, NOTE, AGAIN = "item", "section", "total", "note", "heading again"
_SAYING = (words.NUMBER_OFF, *words.DRAWS, words.PLACE)
"""Columns that say something of an item; a section leaves them all empty."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line that is not empty. ``section`` is that which it stands under, ``remark`` what is odd about it."""

    row: int
    what: str
    text: str
    cells: tuple[GridCell, ...]
    section: str = ""
    remark: str = ""


def lines_of(grid: Grid, columns: Columns, mark: str | None) -> tuple[Line, ...]:
    """Every line below the headings; ``mark`` is the decimal mark."""
    lines = list(_lines(grid, columns, TotalRows(columns, mark)))
    first_total = min((line.row for line in lines if line.what == TOTAL), default=None)
    # a section with no item below it is a note, and so is a lone text below the total
    out: list[Line] = []
    items_below = False
    for line in reversed(lines):
        alone = sum(1 for cell in line.cells if cell.text) == 1
        below_total = first_total is not None and line.row > first_total
        if not items_below and (line.what == SECTION or (line.what == ITEM and alone and below_total)):
            line = replace(line, what=NOTE)
        items_below = items_below or line.what == ITEM
        out.append(line)
    return _under_sections(out[::-1])


def _under_sections(lines: list[Line]) -> tuple[Line, ...]:
    section = ""
    out = []
    for line in lines:
        if line.what == SECTION:
            section = line.text.rstrip(" :")
        out.append(replace(line, section=section if line.what == ITEM else ""))
    return tuple(out)


def _lines(grid: Grid, columns: Columns, sums: TotalRows) -> Iterator[Line]:
    headings = [cell.text for cell in grid.row(columns.heading_row)]
    last = columns.first_row - 2
    for number, cells in grid.below(columns.first_row):
        texts = [cell.text for cell in cells if cell.text]
        if texts:
            blank_before = number > last + 1
            what = TOTAL if sums.match(cells) else _what(cells, headings, columns, blank_before)
            remark = ""
            if what == ITEM:
                sums.add(cells)
            elif what == TOTAL:
                remark = sums.mismatch(cells)
                sums.total()
            yield Line(number, what, texts[0], cells, remark=remark)
            last = number


def _what(cells: tuple[GridCell, ...], headings: list[str], columns: Columns, blank_before: bool) -> str:
    texts = [cell.text for cell in cells if cell.text]
    if texts == [text for text in headings if text]:
        return AGAIN
    name = columns.cell(cells, words.NAME)
    if is_total(name.text) or (not name.text and is_total(texts[0])):
        return TOTAL
    if any(columns.cell(cells, role).text for role in _SAYING):
        return ITEM
    if len(set(texts)) > 1:
        return ITEM
    only = next(cell for cell in cells if cell.text)
    if not name.text:
        return SECTION
    # where rows are numbered, one without its number is no item
    unnumbered = columns.of(words.RUNNING_NUMBER) is not None
    loud = only.text.endswith(":") or (only.text.isupper() and len(only.text) > 2)
    set_apart = unnumbered or only.wide or only.bold or loud
    return SECTION if set_apart or blank_before else ITEM
