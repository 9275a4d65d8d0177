"""Untidy spreadsheets: what the import says of each, what is then refused, and that it solves once that is filled in.

Each folder of ``tests/cases/schedules`` holds the spreadsheet, ``report.txt`` (the whole import report),
``refused.txt`` (what reading the folder says right after the import) and ``filled.toml`` (what a person then writes).
The two workbooks were made by a script once.
"""

from __future__ import annotations

import csv
import tomllib
from pathlib import Path
from typing import Any

import pytest

from allocator import ProblemError, check, demand, read_problem, solve
from allocator.importing.folder import write_folder
from allocator.importing.grid import grids_of
from allocator.importing.report import WIDTH, all_findings
from allocator.importing.schedule import OPEN, Schedule
from allocator.importing.understanding import read_schedule
from allocator.reading.toml_text import parsed
from tests.cli.running import allocator

SCHEDULES = Path(__file__).parents[1] / "cases" / "schedules"
CASES = sorted(folder for folder in SCHEDULES.iterdir() if folder.is_dir())
NAMES = [case.name for case in CASES]
every_case = pytest.mark.parametrize("case", CASES, ids=NAMES)


def spreadsheet(case: Path) -> Path:
    (file,) = case.glob("schedule.*")
    return file


@pytest.fixture(scope="module")
def read() -> dict[str, Schedule]:
    return {case.name: read_schedule(spreadsheet(case)) for case in CASES}


def test_there_are_six_of_the_kinds_asked_for():
    assert len(CASES) == 6
    assert sorted(spreadsheet(case).suffix for case in CASES) == [".csv"] * 4 + [".xlsx"] * 2


@every_case
def test_the_report_is_printed_and_kept_in_the_folder(case, tmp_path):
    result = allocator("import", spreadsheet(case), tmp_path / "made")
    assert result.code == 0, result.err
    assert result.out == (case / "report.txt").read_text()
    assert (tmp_path / "made" / "import.txt").read_text() == result.out
    assert max(map(len, result.out.splitlines())) <= WIDTH
    assert f"written to {tmp_path / 'made'}" in result.err


@every_case
def test_exactly_what_could_not_be_told_is_refused(case, read, tmp_path):
    folder = write_folder(read[case.name], tmp_path / "made")
    with pytest.raises(ProblemError) as refusal:
        read_problem(folder)
    assert f"{refusal.value}\n" == (case / "refused.txt").read_text()
    rows = [item.row for item in read[case.name].items]
    open_cells = {
        (finding.file, rows.index(finding.row) + 2, finding.key)
        for finding in read[case.name].of_kind(OPEN)
        if finding.row is not None
    }
    refused = {(m.table, m.row, m.field) for m in refusal.value.mistakes if m.table == "loads.csv"}
    assert refused == open_cells
    files = {finding.file for finding in all_findings(read[case.name]) if finding.kind == OPEN}
    assert {mistake.table for mistake in refusal.value.mistakes} == files


@every_case
def test_every_cell_of_an_item_is_kept_as_it_was(case, read, tmp_path):
    schedule = read[case.name]
    folder = write_folder(schedule, tmp_path / "made")
    (grid,) = [grid for grid in grids_of(spreadsheet(case)) if grid.sheet == schedule.sheet]
    with (folder / "loads.csv").open(newline="", encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    assert len(rows) == len(schedule.items)
    for row in rows:
        headings = list(row)
        kept = [row[heading] for heading in headings[headings.index("schedule_row") + 1 :] if row[heading]]
        assert kept == [cell.text for cell in grid.row(int(row["schedule_row"])) if cell.text]


@every_case
def test_every_row_is_an_item_or_is_told_of(case, read):
    schedule = read[case.name]
    (grid,) = [grid for grid in grids_of(spreadsheet(case)) if grid.sheet == schedule.sheet]
    filled = {number for number, cells in enumerate(grid.rows, start=1) if any(cell.text for cell in cells)}
    told = {finding.row for finding in schedule.findings} | {item.row for item in schedule.items}
    assert filled - told == {schedule.heading_row}


@every_case
def test_what_it_says_nothing_of_is_left_to_the_defaults(case, read, tmp_path):
    settings = parsed((write_folder(read[case.name], tmp_path / "made") / "problem.toml").read_text())
    assert {"margins", "objective"} & set(settings) == set()


@every_case
def test_filled_in_it_solves(case, read, tmp_path):
    folder = write_folder(read[case.name], tmp_path / "made")
    filled = tomllib.loads((case / "filled.toml").read_text())
    for file, rows in filled["write"].items():
        fill(folder / f"{file}.csv", rows)
    problem = read_problem(folder)
    layout = solve(problem)
    assert layout.status == "optimal"
    assert check(problem, layout).clean
    assert layout.totals.outputs_used == sum(one.all_outputs for one in demand(problem).loads)
    assert len(problem.loads) == filled["loads"]
    for name, amperes in filled["amperes"].items():
        assert problem.load[name].current_a == pytest.approx(amperes, rel=1e-4), name


def fill(file: Path, rows: dict[str, dict[str, Any]]) -> None:
    """Write cells. Rows are named by their first cell, those of loads by their row in the schedule; {}: taken out."""
    with file.open(newline="", encoding="utf-8") as stream:
        table = list(csv.DictReader(stream))
    key = "schedule_row" if file.stem == "loads" else "to" if file.stem == "segments" else "place"
    for name, cells in rows.items():
        (row,) = [row for row in table if row[key] == name]
        row.update(cells)
        if not cells:
            table.remove(row)
    headings = list(dict.fromkeys(heading for row in table for heading in row))
    with file.open("w", newline="", encoding="utf-8") as stream:
        writer = csv.DictWriter(stream, headings, restval="")
        writer.writeheader()
        writer.writerows(table)
