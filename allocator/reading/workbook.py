"""A problem as one workbook: the same tables as a folder has, each on a sheet of its own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from allocator.problem import Mistake, ProblemError
from allocator.problem.near_misses import key_of, near_miss
from allocator.reading.cells import Cell, Sheet
from allocator.reading.opening import name_of, read_file
from allocator.reading.raw import TABLES, RawProblem
from allocator.reading.sheet_lists import LISTS, read_lists
from allocator.reading.sheet_settings import read_settings
from allocator.reading.spreadsheets import sheets_of
from allocator.reading.tables import RawTable

SETTINGS = "settings"
CALLED = "sheet '{}'"
NEEDED = (SETTINGS, "loads", "places")
SHEETS = (SETTINGS, *TABLES, *LISTS)
"""Every sheet that a problem may have."""


def read_workbook(path: Path, mistakes: list[Mistake]) -> RawProblem:
    """Read every sheet of a problem as text; what is wrong is added to ``mistakes``.

    Raises
    ------
    ProblemError
        Where the file is no workbook, or cells cannot be read as they stand: merged ones, formulas without a result.
    """
    data, file = read_file(path), name_of(path)
    raw = RawProblem(name=Path(file).stem, settings_file=CALLED.format(SETTINGS), called=CALLED, table_names=SHEETS)
    raw.files[file] = data
    sheets = {sheet.name: sheet for sheet in sheets_of(file, data)}
    named = _named(sheets, raw, mistakes)
    unreadable = [mistake for sheet in named.values() for mistake in _unreadable(sheet)]
    if unreadable:
        raise ProblemError(unreadable)
    tables = {name: table for name, sheet in named.items() if (table := _table(sheet)) is not None}
    _missing(tables, raw, mistakes)
    for name in TABLES:
        if name in tables:
            raw.tables[name] = tables[name]
    if SETTINGS in tables:
        raw.settings = read_settings(tables[SETTINGS], frozenset(LISTS), mistakes)
        raw.settings.update(read_lists(tables, mistakes))
        _own_wires(raw, sheets, mistakes)
    return raw


def _named(sheets: dict[str, Sheet], raw: RawProblem, mistakes: list[Mistake]) -> dict[str, Sheet]:
    """Sheets by what they are; case, spaces and hyphens of a name do not matter, a near miss is refused."""
    named = {key_of(name): sheet for name, sheet in sheets.items() if key_of(name) in SHEETS}
    others = [name for name in sheets if key_of(name) not in SHEETS]
    for name in SHEETS:
        near = None if name in named else near_miss(name, others)
        if near is not None:
            raw.broken.add(name)
            remedy = f"Rename it to '{name}' if that is meant; if not, choose a name less like it"
            wrong = f"is nearly the name of the sheet '{name}'"
            mistakes.append(Mistake(table=CALLED.format(near), wrong=wrong, remedy=remedy))
    return named


def _missing(tables: dict[str, RawTable], raw: RawProblem, mistakes: list[Mistake]) -> None:
    for name in NEEDED:
        if name not in tables and name not in raw.broken:
            raw.broken.add(name)
            remedy = "Add this sheet to the workbook, with a heading line and a line for each row"
            if name == SETTINGS:
                remedy += "; a list of loads alone becomes a problem by 'allocator import'"
            mistakes.append(Mistake(table=CALLED.format(name), wrong="is missing or empty", remedy=remedy))


def _unreadable(sheet: Sheet) -> Iterator[Mistake]:
    """Cells that stand for something else than what is in them."""
    file = CALLED.format(sheet.name)
    for first, last, left, right in sheet.merged:
        if first > len(sheet.rows):
            continue
        yield Mistake(
            table=file,
            row=first,
            field=_heading(sheet, left),
            wrong=f"is merged with other cells ({last - first + 1} rows, {right - left + 1} columns)",
            remedy="Unmerge them and write the value into each row that it is meant for",
        )
    for number, cells in enumerate(sheet.rows, start=1):
        for place, cell in enumerate(cells, start=1):
            if cell.unread:
                yield Mistake(
                    table=file,
                    row=number,
                    field=_heading(sheet, place),
                    value=cell.text[:60],
                    wrong=cell.unread,
                    remedy="Write the value itself, or open the workbook in a spreadsheet program and save it",
                )


def _heading(sheet: Sheet, column: int) -> str:
    """The heading over a cell, or the letters of its column."""
    from openpyxl.utils import get_column_letter

    heading = next(filter(_filled, sheet.rows), ())
    text = heading[column - 1].text if column <= len(heading) else ""
    return text or get_column_letter(column)


def _table(sheet: Sheet) -> RawTable | None:
    """A sheet as a table; None where it is empty."""
    rows = [(n, tuple(cell.text for cell in row)) for n, row in enumerate(sheet.rows, start=1) if _filled(row)]
    if not rows:
        return None
    (heading_row, headings), *rest = rows
    return RawTable(CALLED.format(sheet.name), headings, tuple(rest), heading_row)


def _filled(row: tuple[Cell, ...]) -> bool:
    return any(cell.text for cell in row)


def _own_wires(raw: RawProblem, sheets: dict[str, Sheet], mistakes: list[Mistake]) -> None:
    """The user's own wire tables are on sheets with the name given in ``wire.file``."""
    wire = (raw.settings or {}).get("wire", {})
    for file in sorted({wire[key] for key in ("file", "feed_file") if wire.get(key)}):
        table = _table(sheets[file]) if file in sheets else None
        if table is None:
            remedy = "Put the wire table on a sheet of that name"
            wrong = "is named in the settings of wire, but there is no such sheet, or it is empty"
            mistakes.append(Mistake(table=CALLED.format(file), wrong=wrong, remedy=remedy))
            continue
        unreadable = list(_unreadable(sheets[file]))
        mistakes += unreadable
        if not unreadable:
            raw.own_wires[file] = table
