"""A schedule as rows of cells, whatever file it comes in: encoding, delimiter, sheets and merged cells settled."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from allocator.importing.figures import Figure, figure
from allocator.problem import Mistake, ProblemError
from allocator.reading.cells import MOST_CELLS, Sheet
from allocator.reading.opening import name_of, read_file
from allocator.reading.spreadsheets import OTHER_WORKBOOKS, WORKBOOKS, is_workbook, sheets_of

DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "upright strokes"}
_MARKS = ((b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"), (b"\xef\xbb\xbf", "utf-8-sig"))
OTHER = (*OTHER_WORKBOOKS, ".pdf", ".doc", ".docx")


@dataclass(frozen=True, slots=True)
class GridCell:
    """A cell as text. ``number``: it is a number in the file, so its decimal mark is no question.

    ``merged`` names the rows of a cell that stands for several; ``wide``: it stands for several columns;
    ``unread`` says why its value cannot be known.
    """

    text: str
    number: bool = False
    bold: bool = False
    merged: tuple[int, int] | None = None
    wide: bool = False
    unread: str = ""

    def figure(self, mark: str | None) -> Figure:
        """Its figure; ``mark`` is the decimal mark of figures that are typed as text. Raises NotKnownError."""
        return figure(self.text, "." if self.number else mark)


EMPTY = GridCell("")


@dataclass(frozen=True, slots=True)
class Grid:
    """A table without meaning yet: rows from 1 on. ``said`` tells how it was read.

    ``filled`` holds the rows in which something stands, with their numbers: a stray cell may stand a million rows
    below the others.
    """

    file: str
    sheet: str
    rows: tuple[tuple[GridCell, ...], ...]
    said: tuple[str, ...]
    filled: tuple[tuple[int, tuple[GridCell, ...]], ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "filled", tuple((n, cells) for n, cells in enumerate(self.rows, start=1) if cells))

    def row(self, number: int) -> tuple[GridCell, ...]:
        """Cells of a row; rows count from 1."""
        return self.rows[number - 1]

    def below(self, number: int) -> Iterator[tuple[int, tuple[GridCell, ...]]]:
        """Rows from that number on in which something stands, each with its number."""
        return ((row, cells) for row, cells in self.filled if row >= number)


def grids_of(path: Path) -> tuple[Grid, ...]:
    """Every table of a schedule file: one of a CSV file, one for each sheet of a workbook that holds anything.

    Raises
    ------
    ProblemError
        Where the file cannot be read as either.
    OSError
        Where it cannot be opened.
    """
    if path.suffix.lower() in OTHER:
        wrong = f"is a kind of file that cannot be read ({path.suffix.lower()})"
        remedy = "Open it in a spreadsheet program and save it as .xlsx or .csv"
        raise ProblemError([Mistake(table=name_of(path), wrong=wrong, remedy=remedy)])
    data, file = read_file(path), name_of(path)
    if path.suffix.lower() in WORKBOOKS or is_workbook(data):
        return tuple(_of_sheet(file, sheet) for sheet in sheets_of(file, data) if sheet.rows)
    return (_of_text(file, data),)


def _of_text(file: str, data: bytes) -> Grid:
    text, said = _decoded(file, data)
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    delimiter, named = _delimiter(lines)
    if named:
        lines = lines.partition("\n")[2]
    rows: list[tuple[GridCell, ...]] = [()] * int(named)
    held = 0
    try:
        for cells in csv.reader(io.StringIO(lines, newline=""), delimiter=delimiter):
            held += len(cells)
            if held > MOST_CELLS:
                wrong = f"holds more than {MOST_CELLS:,} cells, the most that are read"
                raise ProblemError([Mistake(table=file, wrong=wrong, remedy="Keep only the rows of the schedule")])
            rows.append(_trimmed([GridCell(" ".join(cell.split())) for cell in cells]))
    except csv.Error as error:
        wrong = f"cannot be read as a table ({error})"
        remedy = "Open it in a spreadsheet program and save it as .xlsx"
        raise ProblemError([Mistake(table=file, row=len(rows) + 1, wrong=wrong, remedy=remedy)]) from None
    return Grid(file, "", tuple(rows), (*said, f"cells are separated by {DELIMITERS[delimiter]}"))


def _decoded(file: str, data: bytes) -> tuple[str, tuple[str, ...]]:
    """Text of the bytes, by byte-order mark, as UTF-8, or else in the encoding that spreadsheets write in the West."""
    encoding = next((encoding for mark, encoding in _MARKS if data.startswith(mark)), "utf-8")
    try:
        return _without_nul(file, data.decode(encoding)), ()
    except UnicodeDecodeError:
        said = "it is not UTF-8 text and was read as Windows-1252: see that letters with marks are right"
        return _without_nul(file, data.decode("cp1252", errors="replace")), (said,)


def _without_nul(file: str, text: str) -> str:
    if "\0" in text:
        remedy = "Open it in a spreadsheet program and save it as .xlsx or .csv"
        raise ProblemError([Mistake(table=file, wrong="is neither text nor a workbook", remedy=remedy)])
    return text


def _delimiter(text: str) -> tuple[str, bool]:
    """The mark that parts most rows into the same number of cells, and whether a first line ``sep=`` names it."""
    first = text.partition("\n")[0].strip().strip('"').lower()
    if len(first) == 5 and first.startswith("sep=") and first[4] in DELIMITERS:
        return first[4], True
    return max(DELIMITERS, key=lambda mark: _evenness(text, mark)), False


def _evenness(text: str, mark: str) -> int:
    try:
        counts = [len(cells) for cells in csv.reader(io.StringIO(text), delimiter=mark) if len(cells) > 1]
    except csv.Error:
        return 0
    if not counts:
        return 0
    usual = max(set(counts), key=lambda count: (counts.count(count), count))
    return counts.count(usual) * usual


def _of_sheet(file: str, sheet: Sheet) -> Grid:
    rows = [[GridCell(cell.text, cell.number, cell.bold, unread=cell.unread) for cell in cells] for cells in sheet.rows]
    for first, last, left, right in sheet.merged:
        if first > len(rows) or left > len(rows[first - 1]):
            continue
        wide = right > left
        home = rows[first - 1][left - 1] = replace(rows[first - 1][left - 1], wide=wide)
        if last > first and home.text:
            _fill(rows, replace(home, merged=(first, min(last, len(rows)))), first, min(last, len(rows)), left)
    said = (f"sheet '{sheet.name}' is hidden",) if sheet.hidden else ()
    return Grid(file, sheet.name, tuple(_trimmed(cells) for cells in rows), said)


def _fill(rows: list[list[GridCell]], cell: GridCell, first: int, last: int, column: int) -> None:
    """Put a merged cell into each row that it stands for."""
    for cells in rows[first - 1 : last]:
        cells += [EMPTY] * (column - len(cells))
        cells[column - 1] = cell


def _trimmed(cells: list[GridCell]) -> tuple[GridCell, ...]:
    while cells and not cells[-1].text:
        cells.pop()
    return tuple(cells)
