"""A problem folder as one workbook: the same tables, each on a sheet, for those who rather write there."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from allocator.problem import Mistake, ProblemError
from allocator.reading.folder import read_folder
from allocator.reading.raw import TABLES
from allocator.reading.sheet_lists import LISTS, OWNER
from allocator.reading.workbook import SETTINGS
from allocator.writing.new import new_file

_NO_TITLE = re.compile(r"[\[\]:*?/\\]")
_LONGEST_TITLE = 31  # of a sheet, in the format

Rows = list[list[str]]


def write_workbook(folder: str | os.PathLike[str], file: str | os.PathLike[str]) -> Path:
    """Write the workbook that says what a problem folder says; read again it is an equal problem.

    Remarks in ``problem.toml`` are not carried over.

    Raises
    ------
    ProblemError
        Where the folder cannot be read, or holds a name that a sheet cannot.
    FileExistsError
        Where there is such a file already: nothing is written over.
    """
    mistakes: list[Mistake] = []
    raw = read_folder(Path(folder), mistakes)
    if mistakes or raw.settings is None:
        raise ProblemError(mistakes)
    sheets = dict(_settings_sheets(raw.settings, raw.settings_file))
    tables = {name: raw.tables[name] for name in TABLES if name in raw.tables} | raw.own_wires
    for name, table in tables.items():
        _check_title(name, raw.settings_file)
        sheets[name] = [list(table.headings), *(list(cells) for _, cells in table.rows)]
    path = Path(file)
    with new_file(path) as aside:
        _save(sheets, aside)
    return path


def _check_title(name: str, file: str) -> None:
    if _NO_TITLE.search(name) or len(name) > _LONGEST_TITLE:
        remedy = f"Rename the file to at most {_LONGEST_TITLE} letters without a slash"
        wrong = "cannot be the name of a sheet"
        raise ProblemError([Mistake(table=file, row="wire", field="file", value=name, wrong=wrong, remedy=remedy)])


def _settings_sheets(settings: dict[str, Any], file: str) -> Iterator[tuple[str, Rows]]:
    """What ``problem.toml`` holds, as rows of text under headings."""
    single: Rows = [["setting", "value"]]
    for key, value in settings.items():
        if isinstance(value, dict):
            single += [[f"{key}.{inner}", _text(item, file, key, inner)] for inner, item in value.items()]
        elif key not in LISTS:
            single.append([key, _text(value, file, None, key)])
    yield SETTINGS, single
    lists: dict[str, list[dict[str, Any]]] = {key: settings[key] for key in LISTS if key in settings}
    for part in ("banks", "outputs"):
        types = settings.get("unit_types", ())
        lists[part] = [{OWNER: one.get("name"), **item} for one in types for item in one.get(part, ())]
    if "bulkheads" in lists:
        lists["bulkheads"] = list(_contact_rows(lists["bulkheads"]))
    for name, columns in LISTS.items():
        items = lists.get(name)
        if items:
            used = [column for column in columns if any(column in item for item in items)]
            yield name, [used, *([_text(item.get(key, ""), file, name, key) for key in used] for item in items)]


def _contact_rows(bulkheads: Iterable[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    for bulkhead in bulkheads:
        single = {key: value for key, value in bulkhead.items() if key != "contacts"}
        for contacts in bulkhead.get("contacts") or [{}]:
            yield {**single, **contacts}


def _text(value: Any, file: str, row: str | None, key: str) -> str:
    """A value of TOML as a cell: items parted by semicolons, pairs by colons."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return "; ".join(f"{_part(k, file, row, key)}: {_part(v, file, row, key)}" for k, v in value.items())
    if isinstance(value, list):
        items = [": ".join(map(str, item)) if isinstance(item, list) else item for item in value]
        return "; ".join(_part(item, file, row, key) for item in items)
    return str(value)


def _part(value: Any, file: str, row: str | None, key: str) -> str:
    text = str(value)
    if ";" in text:
        wrong = "contains a semicolon, which separates the items of a cell"
        raise ProblemError(
            [Mistake(table=file, row=row, field=key, value=text, wrong=wrong, remedy="Choose a name without one")]
        )
    return text


def _save(sheets: dict[str, Rows], file: Path) -> None:
    """Write the sheets: heading in bold and frozen, columns as wide as what stands in them, up to a limit."""
    import openpyxl
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for number, row in enumerate(rows, start=1):
            for place, text in enumerate(row, start=1):
                if text != "":
                    cell = sheet.cell(number, place)
                    cell.value = _figure(text)
                    if isinstance(cell.value, str):
                        cell.data_type = "s"  # text that begins with '=' is no formula
        for cell in sheet[1]:
            cell.font = Font(bold=True)
        sheet.freeze_panes = "A2"
        for place in range(1, len(rows[0]) + 1):
            widest = max(len(row[place - 1]) for row in rows if len(row) >= place)
            sheet.column_dimensions[get_column_letter(place)].width = min(max(widest + 2, 8), 50)
    with file.open("wb") as stream:
        book.save(stream)


def _figure(text: str) -> str | int | float:
    """A number where the text is exactly how that number is written, so that a sheet can reckon with it."""
    for kind in (int, float):
        try:
            value = kind(text)
        except ValueError:
            continue
        if str(value) == text and abs(value) < 1e12:
            return value
    return text
