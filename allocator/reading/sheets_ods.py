"""Sheets of ``.ods`` workbooks (OpenDocument 1.3, part 3)."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO
from xml.etree.ElementTree import Element, iterparse

from allocator.reading.cells import (
    COMES_TO_ERROR,
    EMPTY,
    MOST_COLUMNS,
    MOST_ROWS,
    NO_RESULT,
    Budget,
    Cell,
    Rows,
    Sheet,
    UnreadableBookError,
    flag_cell,
    number_cell,
    text_cell,
)

CONTENT = "content.xml"
_MANIFEST = "META-INF/manifest.xml"
_OF = "{urn:oasis:names:tc:opendocument:xmlns:"
_TABLE, _OFFICE, _TEXT, _STYLE = (f"{_OF}{name}:1.0}}" for name in ("table", "office", "text", "style"))
_BOLD = f"{_OF}xsl-fo-compatible:1.0}}font-weight"
_VALUE_TYPE = "{urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0}value-type"
# what stands behind a number as it is shown, such as A of 5.0 A
_SHOWN_UNIT = re.compile(r"[-+]?[0-9][0-9.,'\s]*+(?:E[-+]?[0-9]+)?+\s*((?:[^\W\d_]|[°%]).*)")


@dataclass(slots=True)
class _Styles:
    """Names of the styles that hide a sheet, and of those that set a cell in bold."""

    hidden: set[str] = field(default_factory=set)
    bold: set[str] = field(default_factory=set)

    def add(self, style: Element) -> None:
        name = style.get(f"{_STYLE}name", "")
        for properties in style:
            if properties.get(f"{_TABLE}display") == "false":
                self.hidden.add(name)
            if properties.get(_BOLD) == "bold":
                self.bold.add(name)


class _Table:
    """A sheet while its rows come in."""

    def __init__(self, element: Element, budget: Budget):
        self.name = element.get(f"{_TABLE}name", "")
        self.style = element.get(f"{_TABLE}style-name", "")
        self.rows = Rows(budget)
        self.merged: list[tuple[int, int, int, int]] = []
        self.number = 0

    def add(self, row: Element, styles: _Styles) -> None:
        """Add a row, as often as it says that it stands."""
        cells: list[Cell] = []
        merged = []
        gap = 0
        for element in row:
            times = _repeated(element, "columns")
            cell = _cell(element, styles)
            if not cell.text:
                gap += times
                continue
            _ensure_within(len(cells) + gap + times, MOST_COLUMNS)
            cells += [EMPTY] * gap
            gap = 0
            down, right = (int(element.get(f"{_TABLE}number-{what}-spanned", "1")) for what in ("rows", "columns"))
            if down > 1 or right > 1:
                merged.append((down, len(cells) + 1, right))
            cells += [cell] * times
        times = _repeated(row, "rows")
        if cells:
            _ensure_within(self.number + times, MOST_ROWS)
            first = self.number + 1
            self.merged += [(first, first + down - 1, left, left + right - 1) for down, left, right in merged]
            for number in range(first, first + times):
                self.rows.add(number, cells)
        self.number += times

    def whole(self, styles: _Styles) -> Sheet:
        return Sheet(self.name, self.rows.whole(), tuple(sorted(self.merged)), self.style in styles.hidden)


def names(data: bytes) -> tuple[str, ...]:
    """Names of the sheets."""
    return tuple(sheet.name for sheet in sheets(data))


def sheets(data: bytes) -> tuple[Sheet, ...]:
    """Every sheet.

    Raises
    ------
    UnreadableBookError
        Where it is locked, or there is more than is read.
    """
    with zipfile.ZipFile(BytesIO(data)) as archive:
        if _MANIFEST in archive.namelist() and b"encryption-data" in archive.read(_MANIFEST):
            raise UnreadableBookError("is protected by a password", "Save it without one")
        styles = _Styles()
        return tuple(table.whole(styles) for table in _tables(archive, styles))


def _tables(archive: zipfile.ZipFile, styles: _Styles) -> Iterator[_Table]:
    budget = Budget()
    open_tables: list[_Table] = []
    above: list[Element] = []
    with archive.open(CONTENT) as stream:
        for event, element in iterparse(stream, ("start", "end")):
            if event == "start":
                above.append(element)
                if element.tag == f"{_TABLE}table":
                    open_tables.append(_Table(element, budget))
                continue
            above.pop()
            if element.tag == f"{_STYLE}style":
                styles.add(element)
            elif element.tag == f"{_TABLE}table-row":
                if len(open_tables) == 1:  # a table inside of a cell is no sheet
                    open_tables[0].add(element, styles)
                above[-1].clear()  # the row: a sheet may be larger than the memory
            elif element.tag == f"{_TABLE}table":
                table = open_tables.pop()
                if not open_tables:
                    yield table


def _repeated(element: Element, what: str) -> int:
    return max(1, int(element.get(f"{_TABLE}number-{what}-repeated", "1")))


def _ensure_within(reached: int, most: int) -> None:
    if reached > most:
        wrong = f"has a cell in a row or column of the number {reached:,}, beyond the end of any sheet"
        raise UnreadableBookError(wrong, "Open it in a spreadsheet program and save it again")


def _cell(element: Element, styles: _Styles) -> Cell:
    if element.tag != f"{_TABLE}table-cell":
        return EMPTY  # covered by one that is merged
    kind = element.get(f"{_OFFICE}value-type")
    shown = " ".join(_words(p) for p in element.findall(f"{_TEXT}p")).strip()
    formula = element.get(f"{_TABLE}formula")
    if formula is not None and (element.get(_VALUE_TYPE) == "error" or shown.startswith(("#", "Err:"))):
        return Cell(shown or "#ERROR", unread=COMES_TO_ERROR)
    if formula is not None and kind is None and not shown:
        return Cell(formula, unread=NO_RESULT)
    if kind in ("float", "currency", "percentage"):
        value = float(element.get(f"{_OFFICE}value", ""))
        unit = _SHOWN_UNIT.fullmatch(shown)
        return number_cell(value, "0%" if kind == "percentage" else f'0" {unit[1] if unit else ""}"')
    if kind == "boolean":
        return flag_cell(element.get(f"{_OFFICE}boolean-value") == "true")
    if kind == "date":
        return Cell(element.get(f"{_OFFICE}date-value", shown))
    text = element.get(f"{_OFFICE}string-value") if kind == "string" else None
    return text_cell(text or shown, element.get(f"{_TABLE}style-name") in styles.bold)


def _words(paragraph: Element) -> str:
    """Text of a paragraph; spaces, tabs and line breaks are elements of their own in it."""
    text = paragraph.text or ""
    for child in paragraph:
        gap = child.tag in (f"{_TEXT}s", f"{_TEXT}tab", f"{_TEXT}line-break")
        text += (" " if gap else _words(child)) + (child.tail or "")
    return text
