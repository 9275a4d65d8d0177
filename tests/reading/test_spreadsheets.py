"""Workbooks of every format as text; what is vast and empty costs nothing, what is too much or damaged is refused."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from pathlib import Path

import openpyxl
import pytest
from openpyxl.styles import Font

from allocator.importing.workbook import write_workbook
from allocator.problem import ProblemError
from allocator.reading import cells, read_problem, sheets_xlsx, zips
from allocator.reading.cells import Cell
from allocator.reading.spreadsheets import sheet_names, sheets_of
from tests.paths import PROBLEMS
from tests.reading.books import (
    SHEET,
    as_ods,
    changed_parts,
    ods,
    ods_cell,
    ods_number,
    ods_row,
    ods_text,
)
from tests.reading.folders import written

BOOKS = Path(__file__).parents[1] / "cases" / "workbooks"
LAST_ROW = 1_048_576


def small(path: Path) -> Path:
    book = openpyxl.Workbook()
    book.active.append(["load", "current"])
    book.active.append(["pump", 5])
    book.save(path)
    return path


def texts(path: Path, sheet: int = 0) -> list[list[str]]:
    return [[cell.text for cell in row] for row in sheets_of(path.name, path.read_bytes())[sheet].rows]


def refusal(path: Path) -> str:
    with pytest.raises(ProblemError) as error:
        sheets_of(path.name, path.read_bytes())
    [mistake] = error.value.mistakes
    return str(mistake)


def bounded(path: Path) -> str:
    """What a process of little memory makes of a workbook: rows, and cells that hold something."""
    script = (
        "import resource, sys; from pathlib import Path\n"
        "resource.setrlimit(resource.RLIMIT_AS, (1 << 30, 1 << 30))\n"
        "from allocator.reading.spreadsheets import sheets_of\n"
        "[sheet] = sheets_of('book', Path(sys.argv[1]).read_bytes())\n"
        "print(len(sheet.rows), sum(bool(cell.text) for row in sheet.rows for cell in row), len(sheet.merged))"
    )
    # very generously: a reader that fills the sheet takes minutes, or all memory
    done = subprocess.run([sys.executable, "-c", script, path], capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


needs_limits = pytest.mark.skipif(sys.platform == "win32", reason="no limits of memory on this system")


@needs_limits
@pytest.mark.parametrize(
    ("cell", "read"),
    [("A1048576", f"{LAST_ROW} 5 0"), ("XFD1", "2 5 0"), ("XFD1048576", f"{LAST_ROW} 5 0")],
)
def test_a_stray_value_far_out_costs_nothing(tmp_path, cell, read):
    book = openpyxl.load_workbook(small(tmp_path / "book.xlsx"))
    book.active[cell] = "stray"
    book.save(tmp_path / "book.xlsx")
    assert bounded(tmp_path / "book.xlsx") == read


@needs_limits
def test_a_bold_empty_cell_in_the_last_corner_is_nothing(tmp_path):
    book = openpyxl.load_workbook(small(tmp_path / "book.xlsx"))
    book.active["XFD1048576"].font = Font(bold=True)
    book.save(tmp_path / "book.xlsx")
    assert bounded(tmp_path / "book.xlsx") == "2 4 0"


@needs_limits
def test_a_merge_down_to_the_last_row_is_one_range(tmp_path):
    merge = b'</sheetData><mergeCells count="1"><mergeCell ref="A2:B1048576"/></mergeCells>'
    path = changed_parts(small(tmp_path / "book.xlsx"), {SHEET: (b"</sheetData>", merge)})
    assert bounded(path) == "2 4 1"
    assert sheets_of("book", path.read_bytes())[0].merged == ((2, LAST_ROW, 1, 2),)


@needs_limits
@pytest.mark.parametrize("stray", ["", "stray"])
def test_the_last_corner_of_an_opendocument_sheet_costs_nothing(tmp_path, stray):
    gap = ods_row(ods_cell(table_number_columns_repeated="16384"), repeated=LAST_ROW - 2)
    last = ods_cell(table_number_columns_repeated="16383") + ods_cell(stray, table_style_name="bold")
    path = ods(tmp_path / "book.ods", {"loads": ods_row(ods_text("load")) + gap + ods_row(last)})
    assert bounded(path) == (f"{LAST_ROW} 2 0" if stray else "1 1 0")


def test_cells_that_are_repeated_without_end_are_refused(tmp_path):
    full = ods_number(1, table_number_columns_repeated="16384")
    path = ods(tmp_path / "book.ods", {"loads": ods_row(full, repeated=LAST_ROW)})
    assert refusal(path) == (
        "book.ods: holds more than 1,000,000 cells, the most that are read. "
        "Keep only what is needed, in a workbook of its own."
    )


def test_a_sheet_of_more_cells_than_are_read_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(cells, "MOST_CELLS", 4)
    path = small(tmp_path / "book.xlsx")
    assert len(texts(path)) == 2
    monkeypatch.setattr(cells, "MOST_CELLS", 3)
    assert "holds more than 3 cells, the most that are read" in refusal(path)


def test_more_sheets_or_merged_ranges_than_are_read_are_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(sheets_xlsx, "MOST_SHEETS", 0)
    path = small(tmp_path / "book.xlsx")
    assert "has 1 sheets, more than the 0 that are read" in refusal(path)
    monkeypatch.undo()
    monkeypatch.setattr(sheets_xlsx, "MOST_MERGED", 1)
    merge = b'</sheetData><mergeCells><mergeCell ref="A2:B2"/><mergeCell ref="A3:B3"/></mergeCells>'
    assert "has more than 1 merged ranges" in refusal(changed_parts(path, {SHEET: (b"</sheetData>", merge)}))


def test_what_unpacks_to_too_much_is_refused_before_it_is_unpacked(tmp_path):
    with zipfile.ZipFile(small(tmp_path / "book.xlsx"), "a", zipfile.ZIP_DEFLATED) as book:
        book.writestr("xl/worksheets/sheet2.xml", b" " * (40 << 20))
    assert refusal(tmp_path / "book.xlsx").startswith("book.xlsx: unpacks to 40 MB, which is too much to be read.")


def test_many_parts_are_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(zips, "MOST_ENTRIES", 3)
    assert "parts, more than the 3 that are read" in refusal(small(tmp_path / "book.xlsx"))


def test_entities_that_grow_are_refused(tmp_path):
    entity = b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]><worksheet '
    path = changed_parts(small(tmp_path / "book.xlsx"), {SHEET: (b"<worksheet ", entity)})
    assert f"defines a document type in its part '{SHEET}'" in refusal(path)


@pytest.mark.parametrize("cut", [30, 500, 2000, -1])
def test_a_cut_off_workbook_is_refused(tmp_path, cut):
    path = small(tmp_path / "book.xlsx")
    path.write_bytes(path.read_bytes()[:cut])
    assert "cannot be read as a workbook" in refusal(path)


def test_a_part_whose_sum_is_wrong_is_refused(tmp_path):
    path = tmp_path / "book.xlsx"
    with zipfile.ZipFile(small(tmp_path / "first.xlsx")) as old, zipfile.ZipFile(path, "w") as new:
        for name in old.namelist():
            new.writestr(name, old.read(name))
    path.write_bytes(path.read_bytes().replace(b"pump", b"bump"))
    assert refusal(path).startswith("book.xlsx: cannot be read as a workbook (BadZipFile).")


@pytest.mark.parametrize(
    ("part", "old", "new"),
    [
        ("xl/styles.xml", b"<fonts", b"<fonts><font><b val='maybe'/></font></fonts><fonts"),
        ("xl/styles.xml", b'numFmtId="0"', b'numFmtId="x"'),
        ("xl/workbook.xml", b'r:id="', b'r:id="no'),
        (SHEET, b"<c ", b"<c<"),
        (SHEET, b'r="A1"', b'r="A0"'),
    ],
)
def test_a_damaged_part_is_told_of_in_one_sentence(tmp_path, part, old, new):
    path = changed_parts(small(tmp_path / "book.xlsx"), {part: (old, new)})
    try:
        sheets_of(path.name, path.read_bytes())
    except ProblemError as error:
        assert len(error.mistakes) == 1


def test_a_style_that_is_not_there_is_told_of_in_one_sentence(tmp_path):
    path = changed_parts(small(tmp_path / "book.xlsx"), {SHEET: (b'<c r="B2"', b'<c s="77" r="B2"')})
    assert "cannot be read as a workbook (IndexError)" in refusal(path)


@pytest.mark.parametrize("name", ["van.xlsx", "van.xls"])
def test_a_workbook_with_a_password_is_told_of(tmp_path, name):
    data = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(1000) + "EncryptedPackage".encode("utf-16-le") + bytes(500)
    (tmp_path / name).write_bytes(data)
    assert refusal(tmp_path / name) == (
        f"{name}: is protected by a password. Open it in a spreadsheet program and save it as .xlsx without a password."
    )


def test_an_opendocument_workbook_with_a_password_is_told_of(tmp_path):
    path = ods(tmp_path / "book.ods", {"loads": ods_row(ods_text("load"))})
    with zipfile.ZipFile(path, "a") as book:
        book.writestr("META-INF/manifest.xml", "<manifest><encryption-data/></manifest>")
    assert refusal(path) == "book.ods: is protected by a password. Save it without one."


def test_cells_of_an_opendocument_sheet_are_read_as_they_are_seen(tmp_path):
    bold = '<style:style style:name="b"><style:text-properties fo:font-weight="bold"/></style:style>'
    hides = '<style:style style:name="of secret"><style:table-properties table:display="false"/></style:style>'
    row = ods_row(
        ods_text("pump", table_style_name="b"),
        ods_number(5.0, "5.0 A"),
        ods_cell("50%", office_value_type="percentage", office_value="0.5"),
        ods_cell("1.2E+03", office_value_type="float", office_value="1200"),
        ods_cell("TRUE", office_value_type="boolean", office_boolean_value="true"),
        ods_cell("01/03/24", office_value_type="date", office_date_value="2024-03-01"),
        ods_cell("#DIV/0!", office_value_type="float", office_value="0", table_formula="of:=1/0",
                 calcext_value_type="error"),
        ods_cell(table_formula="of:=A1/2"),
        ods_text("wide", table_number_columns_spanned="2", table_number_rows_spanned="3"),
        "<table:covered-table-cell/>",
        ods_text("last"),
    )  # fmt: skip
    path = ods(tmp_path / "book.ods", {"loads": row, "secret": row}, bold + hides)
    loads, secret = sheets_of(path.name, path.read_bytes())
    assert sheet_names(path.name, path.read_bytes()) == ("loads", "secret")
    assert (loads.hidden, secret.hidden) == (False, True)
    assert loads.merged == ((1, 3, 9, 10),)
    assert loads.rows[0] == (
        Cell("pump", bold=True),
        Cell("5 A", number=True),
        Cell("50 %", number=True),
        Cell("1200", number=True),
        Cell("yes"),
        Cell("2024-03-01"),
        Cell("#DIV/0!", unread="is a formula that comes to an error"),
        Cell("of:=A1/2", unread="holds a formula whose result was never saved"),
        Cell("wide"),
        Cell(""),
        Cell("last"),
    )


def test_cells_of_an_old_workbook_are_read_as_they_are_seen():
    # written by xlwt 1.3.0: a bold heading, 5 shown as 5.0 "A", 0.5 shown as 50 %, an error, a merged cell over
    # rows 3 and 4, a hidden sheet, a value in the last row that the format has
    path = BOOKS / "cells.xls"
    first, secret = sheets_of(path.name, path.read_bytes())
    assert sheet_names(path.name, path.read_bytes()) == ("first", "secret")
    assert (first.hidden, secret.hidden) == (False, True)
    assert first.merged == ((3, 4, 1, 2),)
    assert len(first.rows) == 65536
    assert first.rows[:2] == (
        (Cell("load", bold=True), Cell("current")),
        (
            Cell("pump"),
            Cell("5 A", number=True),
            Cell("50 %", number=True),
            Cell("#DIV/0!", unread="is a formula that comes to an error"),
            Cell("yes"),
            Cell("2024-03-01T00:00:00"),
        ),
    )
    assert first.rows[-1] == (Cell("stray"),)


@pytest.mark.parametrize("cut", [8, 600, 4000])
def test_a_damaged_old_workbook_is_refused(tmp_path, cut):
    (tmp_path / "old.xls").write_bytes((BOOKS / "cells.xls").read_bytes()[:cut])
    assert "old.xls: cannot be read as a workbook" in refusal(tmp_path / "old.xls")


@pytest.mark.parametrize("name", ["hill-climber", "clinic-van"])
def test_a_problem_may_be_an_opendocument_workbook(tmp_path, name):
    book = as_ods(write_workbook(PROBLEMS / name, tmp_path / "book.xlsx"))
    assert read_problem(book) == read_problem(PROBLEMS / name)


def test_a_problem_may_be_an_old_workbook(tmp_path):
    # written by xlwt 1.3.0 from the sheets that ``write_workbook`` makes of the folder
    assert read_problem(BOOKS / "workshop-trailer.xls") == read_problem(written(tmp_path))
