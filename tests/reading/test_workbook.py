"""A problem as one workbook is the very problem that its folder is; what is wrong is named by sheet, row, column."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from allocator.importing.workbook import write_workbook
from allocator.problem import Problem, ProblemError
from allocator.reading import read_problem
from tests.case_folders import problem_folder, problems_of
from tests.cli.example import write_example
from tests.cli.running import allocator
from tests.paths import PROBLEMS
from tests.reading.folders import SEGMENTS, SETTINGS, written

FOLDERS = sorted(path.parent for path in PROBLEMS.glob("*/problem.toml"))
WORDS = problems_of("words")


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_a_demonstration_problem_as_a_workbook_is_the_same_problem(folder, tmp_path):
    assert read_problem(write_workbook(folder, tmp_path / "book.xlsx")) == read_problem(folder)


@pytest.mark.parametrize("name", WORDS)
def test_every_word_of_the_input_can_stand_in_a_workbook(name, tmp_path):
    folder = problem_folder(name)
    assert outcome(write_workbook(folder, tmp_path / "book.xlsx")) == outcome(folder)


def outcome(path: Path) -> Problem | list[tuple[str | None, str]]:
    """The problem, or what is wrong with it, wherever that stands."""
    try:
        return read_problem(path)
    except ProblemError as refusal:
        return [(mistake.value, mistake.wrong) for mistake in refusal.mistakes]


def test_there_are_folders_to_try():
    assert len(FOLDERS) >= 6
    assert len(WORDS) >= 100


def test_a_workbook_is_solved_to_the_same_layout(tmp_path):
    folder = write_example(tmp_path)
    book = write_workbook(folder, tmp_path / "book.xlsx")
    of_folder, of_book = (allocator("solve", path, "--json") for path in (folder, book))
    assert of_book.code == of_folder.code == 0
    layouts = [json.loads(one.out) for one in (of_folder, of_book)]
    for layout in layouts:
        # the one names what was read, the other how long it took
        del layout["problem"]["sha256"], layout["seconds"]
        # and each says of its own tables what it took for granted
        layout["defaults"] = [re.sub(r"^sheet '(\w+)'", r"\1.csv", text) for text in layout["defaults"]]
    assert layouts[0] == layouts[1]


def test_a_workbook_is_never_written_over(tmp_path):
    folder = written(tmp_path)
    (tmp_path / "book.xlsx").write_text("mine")
    with pytest.raises(FileExistsError):
        write_workbook(folder, tmp_path / "book.xlsx")
    assert (tmp_path / "book.xlsx").read_text() == "mine"
    assert not list(tmp_path.glob(".*"))


@pytest.fixture
def book(tmp_path: Path) -> Path:
    folder = tmp_path / "folder"
    folder.mkdir()
    return write_workbook(written(folder), tmp_path / "van.xlsx")


def changed(path: Path, sheet: str, cell: str, value: Any, number_format: str | None = None) -> Path:
    """Set one cell and save."""
    book = openpyxl.load_workbook(path)
    book[sheet][cell].value = value
    if number_format is not None:
        book[sheet][cell].number_format = number_format
    book.save(path)
    return path


def row_of(path: Path, sheet: str, first: str) -> int:
    return next(row[0].row for row in openpyxl.load_workbook(path)[sheet].iter_rows() if row[0].value == first)


def column_of(path: Path, sheet: str, heading: str) -> str:
    return next(cell.column_letter for cell in openpyxl.load_workbook(path)[sheet][1] if cell.value == heading)


def report(path: Path) -> str:
    with pytest.raises(ProblemError) as refusal:
        read_problem(path)
    return str(refusal.value)


def test_the_small_book_is_read(book, tmp_path):
    assert read_problem(book) == read_problem(tmp_path / "folder")


@pytest.mark.parametrize(
    ("sheet", "heading", "value", "text"),
    [
        ("loads", "current", "4 furlong", "sheet 'loads', row 2, column 'current': '4 furlong' "),
        ("loads", "current", 4, "sheet 'loads', row 2, column 'current': '4' has no unit. Write a current in A"),
        ("loads", "place", "attic", "sheet 'loads', row 2, column 'place': 'attic' "),
        ("outputs", "continuous", "20 V", "sheet 'outputs', row 2, column 'continuous': '20 V' is not a current"),
        ("outputs", "unit_type", "7-way",
         "sheet 'outputs', row 2, column 'unit_type': '7-way' is not a unit type. Write"),
        ("outputs", "peaks", "60 A for 0.2 s", "sheet 'outputs', row 2, column 'peaks': '60 A for 0.2 s' does not"),
        ("outputs", "peaks", "60 A: 2 m", "sheet 'outputs', row 2, column 'peaks': '2 m' is not a time"),
        ("units", "spare", "light: many", "sheet 'units', row 2, column 'spare': 'many' is not a plain number"),
        ("units", "sites", "bench; attic", "sheet 'units', row 2, column 'sites': 'attic' "),
        ("sources", "supply", "day: 30 kg", "sheet 'sources', row 2, column 'supply': '30 kg' is not a current"),
        ("bulkheads", "count", "few", "sheet 'bulkheads', row 2, column 'count': 'few' is not a plain number"),
        ("functions", "survive", "9", "sheet 'functions', row 2, column 'survive': '9' "),
    ],
)  # fmt: skip
def test_a_wrong_cell_is_named_by_sheet_row_and_column(book, sheet, heading, value, text):
    assert text in report(changed(book, sheet, f"{column_of(book, sheet, heading)}2", value))


@pytest.mark.parametrize(
    ("setting", "value", "text"),
    [
        ("system.nominal", "12 A", "row {row}, column 'value (system.nominal)': '12 A' is not a voltage"),
        ("margins.robust", "-1", "row {row}, column 'value (margins.robust)': '-1' is not a whole number"),
        ("format", "2", "row {row}, column 'value (format)': '2' is an unknown format"),
        (
            "margins.bundle",
            "no",
            "row {row}, column 'value (margins.bundle)': 'no' does not say how bundles are treated.",
        ),
        ("wire.smallest", "0.75", "row {row}, column 'value (wire.smallest)': '0.75' has no unit"),
    ],
)
def test_a_wrong_setting_is_named_by_its_row(book, setting, value, text):
    row = row_of(book, "settings", setting)
    assert f"sheet 'settings', {text.format(row=row)}" in report(changed(book, "settings", f"B{row}", value))


@pytest.mark.parametrize(
    ("setting", "text"),
    [
        ("margins.trp", "column 'value (margins.trp)': is not a known key. Write 'trip' if that is meant"),
        ("marginz.trip", "'marginz': is not a known key. Write 'margins' if that is meant"),
        ("nominal", "column 'setting': 'nominal' is not a single setting. Write the table and the key with a point"),
        ("units.name", "column 'setting': 'units.name' is not a single setting. Put it on the sheet 'units'"),
        ("system.nominal", "column 'setting': 'system.nominal' appears twice. Keep only one of the two rows"),
    ],
)
def test_a_row_that_sets_nothing_is_refused(book, setting, text):
    row = openpyxl.load_workbook(book)["settings"].max_row + 1
    told = report(changed(changed(book, "settings", f"A{row}", setting), "settings", f"B{row}", "1.3"))
    assert f"sheet 'settings', row {row}, " in told
    assert text in told


def test_numbers_are_read_as_the_sheet_shows_them(book):
    column = column_of(book, "loads", "current")
    changed(book, "loads", f"{column}2", 4.5, '0.0 "A"')
    assert read_problem(book).load["work lamp 1"].current_a == 4.5
    column = column_of(book, "loads", "max_drop")
    changed(book, "loads", f"{column}2", 0.04, "0.0 %")
    assert read_problem(book).load["work lamp 1"].max_drop == pytest.approx(0.04)
    changed(book, "loads", f"{column}1", "max_drop [%]")
    assert read_problem(book).load["work lamp 1"].max_drop == pytest.approx(0.04)


def test_a_formula_without_its_result_is_refused_and_one_with_it_is_read(book):
    told = report(changed(book, "loads", f"{column_of(book, 'loads', 'current')}3", "=2*3"))
    assert "sheet 'loads', row 3, column 'current': '=2*3' holds a formula whose result was never saved" in told


def test_merged_cells_are_refused_because_their_value_stands_in_one_row_only(book):
    workbook = openpyxl.load_workbook(book)
    workbook["loads"].merge_cells("B2:B3")
    workbook.save(book)
    assert "sheet 'loads', row 2, column 'place': is merged with other cells (2 rows, 1 columns)" in report(book)


@pytest.mark.parametrize(
    ("old", "new", "text"),
    [
        ("loads", "loadz", "sheet 'loadz': is nearly the name of the sheet 'loads'. Rename it to 'loads'"),
        ("places", "where", "sheet 'places': is missing or empty. Add this sheet to the workbook"),
        ("settings", "setup", "sheet 'settings': is missing or empty."),
        ("ours.csv", "theirs", "sheet 'ours.csv': is named in the settings of wire, but there is no such sheet"),
    ],
)
def test_a_sheet_that_is_not_there_is_told_of(book, old, new, text):
    workbook = openpyxl.load_workbook(book)
    workbook[old].title = new
    workbook.save(book)
    assert text in report(book)


def test_case_and_spaces_of_a_sheet_name_do_not_matter(book, tmp_path):
    workbook = openpyxl.load_workbook(book)
    workbook["unit_types"].title = "Unit Types"
    workbook.save(book)
    assert read_problem(book) == read_problem(tmp_path / "folder")


def test_an_unknown_column_is_refused_and_remarks_are_not(book, tmp_path):
    column = openpyxl.load_workbook(book)["units"].max_column + 1
    letter = openpyxl.utils.get_column_letter(column)
    changed(changed(book, "units", f"{letter}1", "remarks"), "units", f"{letter}2", "by the door")
    assert read_problem(book) == read_problem(tmp_path / "folder")
    changed(book, "units", f"{letter}1", "colour")
    assert "sheet 'units', row 1, column 'colour': is not a known column." in report(book)


def test_two_rows_of_a_bulkhead_must_agree(book):
    rows = [[cell.value for cell in row] for row in openpyxl.load_workbook(book)["bulkheads"].iter_rows()]
    kind = rows[0].index("kind")
    other = [("connector" if place == kind else value) for place, value in enumerate(rows[1])]
    workbook = openpyxl.load_workbook(book)
    workbook["bulkheads"].append(other)
    workbook.save(book)
    told = report(book)
    assert "sheet 'bulkheads', row 3, column 'kind': 'connector' is 'gland' in another row of this bulkhead" in told


@pytest.mark.parametrize(
    ("data", "wrong"),
    [
        (b"", "is not a workbook, whatever its name says. Save it as .xlsx."),
        (b"loads,place\n", "is not a workbook, whatever its name says. Save it as .xlsx."),
        (b"PK\x03\x04 and then nothing", "cannot be read as a workbook (BadZipFile). Open it in a spreadsheet program"),
    ],
)
def test_what_is_no_workbook_is_refused(tmp_path, data, wrong):
    path = tmp_path / "book.xlsx"
    path.write_bytes(data)
    result = allocator("solve", path)
    assert result.code == 2
    assert f"book.xlsx: {wrong}" in result.err
    assert "Traceback" not in result.err


def test_what_a_problem_says_of_bundles_can_stand_in_a_workbook(tmp_path):
    words = 'bundle = "table"\ncables = "inside"\nbundle_wires = 12\nbundle_loading = "60 %"'
    segments = SEGMENTS.replace("insulation,", "insulation,bundle,cables only,bundle wires,bundle loading,")
    segments = segments.replace(",,,\n", ",,,80 %,yes,9,40 %,\n").replace("105 degC,", "105 degC,,,,,")
    (tmp_path / "folder").mkdir()
    folder = written(tmp_path / "folder", problem=SETTINGS.replace('bundle = "none"', words), segments=segments)
    read = read_problem(write_workbook(folder, tmp_path / "bundles.xlsx"))
    assert read == read_problem(folder)
    assert read.margins.bundle_wires == 12
    assert (read.segments[0].factor, read.segments[0].wires, read.segments[0].loading) == (0.8, 9, 0.4)
    assert read.segments[1].extra == (("note", "clip"),)
