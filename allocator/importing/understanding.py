"""A schedule file understood: which table, which columns, which rows, and what each item is."""

from __future__ import annotations

import os
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from allocator.importing import vocabulary as words
from allocator.importing.columns import Column, Columns, columns_of, heading_of
from allocator.importing.figures import NotKnownError, decimal_mark
from allocator.importing.grid import Grid, grids_of
from allocator.importing.items import ItemReader
from allocator.importing.lines import AGAIN, ITEM, NOTE, SECTION, TOTAL, Line, lines_of
from allocator.importing.marks import is_tick
from allocator.importing.names import distinct_names, one_spelling
from allocator.importing.refusals import unannounced
from allocator.importing.schedule import ASSUMED, LEFT_OUT, LOOK, Finding, Schedule
from allocator.importing.schedule_rows import Item, ReadColumn
from allocator.problem import Mistake, ProblemError
from allocator.problem.near_misses import suggestion
from allocator.reading.loads import Volts
from allocator.reading.opening import name_of

LONGEST_CONDITION = 30
SYSTEMS = {12.0: Volts(12.0, 13.6, 11.5), 24.0: Volts(24.0, 27.2, 23.0), 48.0: Volts(48.0, 54.4, 46.0)}
"""Nominal, running and lowest volts of what is common: common practice, no source."""
_QUOTED = 60
_VOLTS = re.compile(r"\b([0-9]{2}(?:\.[0-9])?) ?[Vv](?:olts?|DC)?\b")


def read_schedule(path: str | os.PathLike[str], sheet: str | None = None) -> Schedule:
    """Read the spreadsheet that somebody keeps of what is fitted and what it draws.

    Parameters
    ----------
    path
        A ``.csv`` of any delimiter, decimal mark and encoding, or an ``.xlsx``, ``.ods`` or ``.xls``. Headings may
        stand in any order and row, and be called as people call them.
    sheet
        Which sheet of a workbook; None: that whose headings say most.

    Raises
    ------
    ProblemError
        Where no table in it names items and what they draw.
    OSError
        Where the file cannot be opened.
    """
    grids = grids_of(Path(path))
    grid = _chosen(name_of(Path(path)), grids, sheet)
    columns = columns_of(grid, heading_of(grid)[0])
    findings: list[Finding] = [Finding(ASSUMED, said) for said in (*grid.said, *columns.said)]
    findings += [Finding(LOOK, said) for said in columns.look]
    others = [one.sheet for one in grids if one is not grid]
    if others:
        names = ", ".join(f"'{name}'" for name in others)
        findings.append(Finding(LEFT_OUT, f"sheet '{grid.sheet}' is read; not read: {names}"))
    mark = _mark(grid, columns, findings)
    lines = lines_of(grid, columns, mark)
    findings += _left_out(grid, columns, lines)
    volts = _system(grid, columns, mark, findings)
    items = _items(columns, lines, mark, volts, findings)
    if not items:
        remedy = "Give each item a row below the headings"
        wrong = "has no item below its headings"
        raise ProblemError([Mistake(table=_file(grid), row=columns.heading_row, wrong=wrong, remedy=remedy)])
    items = one_spelling(distinct_names(items, findings), findings)
    wires = columns.of(words.WIRE)
    schedule = Schedule(
        file=grid.file,
        sheet=grid.sheet,
        name=" ".join(Path(grid.file).stem.replace("_", " ").replace("-", " ").split()),
        items=tuple(items),
        columns=_read_columns(columns),
        findings=tuple(findings),
        conditions=_conditions(columns),
        nominal_v=volts.nominal,
        running_v=volts.running,
        lowest_v=volts.lowest,
        gauges=wires is not None and _speaks_gauges(wires, lines),
        heading_row=columns.heading_row,
    )
    return replace(schedule, findings=(*findings, *unannounced(schedule)))


def _chosen(file: str, grids: tuple[Grid, ...], sheet: str | None) -> Grid:
    """The table to read: the sheet asked for, or that whose headings say most."""
    if sheet is not None:
        names = [grid.sheet for grid in grids if grid.sheet]
        grids = tuple(grid for grid in grids if grid.sheet == sheet)
        if not grids:
            remedy = suggestion(sheet, names, "sheet")
            wrong = "is not one of its sheets, or is empty"
            raise ProblemError([Mistake(table=file, value=sheet, wrong=wrong, remedy=remedy)])
    best = max(grids, key=lambda grid: heading_of(grid)[1], default=None)
    if best is None or not heading_of(best)[0]:
        raise ProblemError(
            [
                Mistake(
                    table=file,
                    wrong="has no row of headings that names items and what they draw",
                    remedy="Head the columns with words such as Item, Number, Amps (or Watts) and Place",
                )
            ]
        )
    return best


def _file(grid: Grid) -> str:
    return f"{grid.file}, sheet '{grid.sheet}'" if grid.sheet else grid.file


def _mark(grid: Grid, columns: Columns, findings: list[Finding]) -> str | None:
    figures = [column for column in columns.all if column.role in (*words.DRAWS, words.LENGTH)]
    below = [column.cell(cells) for _, cells in grid.below(columns.first_row) for column in figures]
    mark = decimal_mark(cell.text for cell in below if not cell.number)
    if mark == ",":
        findings.append(Finding(ASSUMED, "commas mark decimals in it"))
    return mark


def _left_out(grid: Grid, columns: Columns, lines: tuple[Line, ...]) -> Iterator[Finding]:
    """Rows that are no items, each named."""
    for number in range(1, columns.heading_row):
        texts = [cell.text for cell in grid.row(number) if cell.text]
        if texts:
            yield Finding(LEFT_OUT, "is above the headings", number, cell=_quoted(texts))
    kinds = {TOTAL: "is a total", NOTE: "is a note", AGAIN: "is the row of headings again"}
    for line in lines:
        texts = [cell.text for cell in line.cells if cell.text]
        if line.what in kinds:
            yield Finding(LEFT_OUT, kinds[line.what], line.row, cell=_quoted(texts))
            if line.remark:
                yield Finding(LOOK, line.remark, line.row, cell=_quoted(texts))
        elif line.what == SECTION:
            said = "is the heading of a section: it is kept in the column 'section'"
            yield Finding(LEFT_OUT, said, line.row, cell=_quoted(texts))


def _quoted(texts: list[str]) -> str:
    text = " | ".join(dict.fromkeys(texts))
    return text if len(text) <= _QUOTED else f"{text[: _QUOTED - 3]}..."


def _system(grid: Grid, columns: Columns, mark: str | None, findings: list[Finding]) -> Volts:
    """The voltages of the system, from what figures are stated at, or else assumed."""
    headed = [column.meaning.at_volts for column in columns.all if column.meaning.at_volts]
    stated: Counter[float] = Counter()
    for volts in (*headed, *_cells_in_volts(grid, columns, mark), *_volts_above(grid, columns)):
        near = min(SYSTEMS, key=lambda nominal: abs(volts - nominal))
        if SYSTEMS[near].like(volts):
            stated[near] += 1
    nominal = stated.most_common(1)[0][0] if stated else 12.0
    system = SYSTEMS[nominal]
    running = next((volts for volts in headed if nominal * 1.04 < volts <= 1.25 * nominal), None)
    why = "by the voltages in the schedule" if stated else "assumed, because the schedule names none"
    findings.append(Finding(ASSUMED, f"a system of {nominal:g} V ({why})"))
    if running is not None:
        findings.append(Finding(ASSUMED, f"{running:g} V while running, because currents are stated at that"))
        return Volts(nominal, running, system.lowest)
    return system


def _volts_above(grid: Grid, columns: Columns) -> Iterator[float]:
    """Voltages that titles above the headings name."""
    for cells in grid.rows[: columns.heading_row - 1]:
        for cell in cells:
            yield from (float(found) for found in _VOLTS.findall(cell.text))


def _cells_in_volts(grid: Grid, columns: Columns, mark: str | None) -> Iterator[float]:
    column = columns.of(words.VOLTAGE)
    if column is None:
        return
    for _, cells in grid.below(columns.first_row):
        try:
            yield column.cell(cells).figure(mark).value
        except NotKnownError:
            continue


def _items(
    columns: Columns, lines: tuple[Line, ...], mark: str | None, volts: Volts, findings: list[Finding]
) -> list[Item]:
    rows = [line for line in lines if line.what == ITEM]
    ticked = {
        column.place
        for column in columns.every(words.CONDITION)
        if any(is_tick(column.cell(line.cells).text) for line in rows)
    }
    reader = ItemReader(columns, mark, volts, frozenset(ticked), findings)
    items = [reader.item(line) for line in rows]
    reader.say_what_holds_throughout()
    return items


def _conditions(columns: Columns) -> tuple[str, ...]:
    return tuple(condition_name(column.heading) for column in columns.every(words.CONDITION))


def condition_name(heading: str) -> str:
    """A heading as the name of a condition."""
    return heading.replace(";", ",")[:LONGEST_CONDITION].strip().lower()


def _read_columns(columns: Columns) -> tuple[ReadColumn, ...]:
    return tuple(ReadColumn(column.heading, _as(column.role, column.meaning.unit)) for column in columns.all)


def _as(role: str, unit: str) -> str:
    if role == words.OTHER:
        return ""
    return f"{role} [{unit}]" if unit else role


def _speaks_gauges(wires: Column, lines: tuple[Line, ...]) -> bool:
    texts = [wires.heading, *(wires.cell(line.cells).text for line in lines)]
    return any("AWG" in text.upper() for text in texts)
