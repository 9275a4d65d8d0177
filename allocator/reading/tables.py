"""Raw tables: headings and rows of text, with the line each row stands on. CSV is one source of them."""

from __future__ import annotations

import csv
import io
import unicodedata
from dataclasses import dataclass

from allocator.problem import Mistake, ProblemError

MOST_CELLS = 5_000_000
"""Cells of a CSV file, empty ones too."""


@dataclass(frozen=True, slots=True)
class RawTable:
    """A table as text. ``rows`` holds (row number in the file, cells); the heading is row ``heading_row``."""

    file: str
    headings: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    heading_row: int = 1


def decoded(file: str, data: bytes) -> str:
    """Bytes as text: UTF-8, with or without a byte-order mark.

    Raises
    ------
    ProblemError
        Where the bytes are not UTF-8, with the row of the first one that is not.
    """
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = data.count(b"\n", 0, error.start) + 1
        wrong = f"is not UTF-8 text (byte 0x{data[error.start]:02x})"
        raise ProblemError([Mistake(table=file, row=row, wrong=wrong, remedy="Save the file as UTF-8")]) from None
    return unicodedata.normalize("NFC", text)


def csv_table(file: str, data: bytes) -> RawTable:
    """Read a CSV file whose cells are separated by commas, semicolons or tabs, as its heading line shows.

    Raises
    ------
    ProblemError
        Where the bytes are no such table.
    """
    lines = decoded(file, data).replace("\r\n", "\n").replace("\r", "\n")
    reader = csv.reader(io.StringIO(lines, newline=""), delimiter=_delimiter(lines), strict=True)
    rows: list[tuple[int, tuple[str, ...]]] = []
    before = held = 0
    try:
        for cells in reader:
            stripped = tuple(cell.strip() for cell in cells)
            held += len(stripped)
            if held > MOST_CELLS:
                raise ProblemError([_too_large(file, before + 1)])
            if any(stripped) and not (before == 0 and _names_delimiter(cells)):
                rows.append((before + 1, stripped))
            before = reader.line_num
    except csv.Error as error:
        raise ProblemError(
            [
                Mistake(
                    table=file,
                    row=before + 1,
                    wrong=f"cannot be read as a row of a CSV table ({error})",
                    remedy="Close every quotation mark, and write one inside a cell twice",
                )
            ]
        ) from None
    if not rows:
        remedy = "Begin with a heading line, then one line for each row"
        raise ProblemError([Mistake(table=file, wrong="holds no heading", remedy=remedy)])
    (heading_row, headings), *rest = rows
    return RawTable(file, headings, tuple(rest), heading_row)


def _too_large(file: str, row: int) -> Mistake:
    wrong = f"holds more than {MOST_CELLS:,} cells, the most that are read"
    return Mistake(table=file, row=row, wrong=wrong, remedy="Keep only the rows and columns that are needed")


def _delimiter(text: str) -> str:
    """The mark that parts the cells of the first line that is not empty."""
    for line in text.split("\n"):
        if line.strip(" ,;\t"):
            if len(line) == 5 and line.lower().startswith("sep="):
                return line[4]
            unquoted = "".join(line.split('"')[::2])
            return max(",;\t", key=unquoted.count)
    return ","


def _names_delimiter(cells: list[str]) -> bool:
    """Whether the row is the ``sep=;`` line that spreadsheets write before a heading."""
    return cells[0].lower().startswith("sep=") and not any(cells[1:])
