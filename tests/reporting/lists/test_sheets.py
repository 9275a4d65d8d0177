from __future__ import annotations

from dataclasses import replace
from io import BytesIO, StringIO
from xml.etree import ElementTree
from zipfile import ZipFile

import openpyxl
import pandas as pd
import pytest

from allocator.reporting.lists import build_of
from allocator.reporting.lists.sheets import list_files
from tests.reporting.lists.samples import LAYOUT, PROBLEM, said

DIGEST = "ab" * 32


def files(problem=PROBLEM, layout=LAYOUT, digest=DIGEST):
    problem = replace(problem, digest=digest)
    return list_files(build_of(problem, layout))


@pytest.fixture(scope="module")
def book():
    return openpyxl.load_workbook(BytesIO(files()["lists.xlsx"]))


def test_figures_are_numbers_and_blank_columns_are_blank(book):
    sheet = book["cut-list"]
    headings = {cell.value: cell.column for cell in sheet[1]}
    assert all(isinstance(sheet.cell(2, headings[name]).value, float) for name in ("length [m]", "mass [g]"))
    assert isinstance(book["bulkhead-contacts"].cell(2, 3).value, int)
    trips = {cell.value: cell.column for cell in book["trips"][1]}
    assert [book["trips"].cell(2, trips[name]).value for name in ("measured [A]", "measured [V]")] == [None, None]


def test_every_sheet_prints_landscape_as_wide_as_the_page_with_its_headings_on_each(book):
    for sheet in book:
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.page_setup.fitToWidth in (1, None)  # 1 where it is left out (ECMA-376, Part 1, 18.3.1.63)
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.print_title_rows == "$1:$1"
        assert sheet.freeze_panes == "A2"


def test_problem_hash_and_page_number_stand_on_every_page(book):
    for sheet in book:
        assert sheet.oddHeader.center.text == PROBLEM.name
        assert sheet.oddFooter.left.text == f"problem sha256 {DIGEST}"
        assert sheet.oddFooter.right.text == "page &P of &N"


def test_units_begin_on_a_new_page(book):
    units = [row[0].value for row in book["outputs"].iter_rows(min_row=2)]
    assert [one.id for one in book["outputs"].row_breaks.brk] == [1 + units.index("aux")]


def test_every_row_of_every_csv_has_the_hash():
    for name, text in files().items():
        if name.endswith(".csv"):
            table = pd.read_csv(StringIO(text))
            assert {*table["problem sha256"]} <= {DIGEST}
            assert {*table["layout"]} <= {"hand-made"}


def test_an_empty_list_has_its_headings():
    assert files()["violations.csv"] == "rule,object,amount,unit,what,layout,problem sha256\n"


def test_of_a_problem_made_in_python_the_layout_knows_the_hash():
    text = files(digest="", layout=replace(LAYOUT, problem_sha256=DIGEST))["splices.csv"]
    assert DIGEST in text


def test_broken_rules_have_the_first_sheet_and_stand_on_every_page():
    made = files(layout=replace(LAYOUT, circuits=LAYOUT.circuits[1:]))
    book = openpyxl.load_workbook(BytesIO(made["lists.xlsx"]))
    assert book.sheetnames[0] == "violations"
    said_so = {f"BREAKS {book['violations'].max_row - 1} RULES"}
    assert {sheet.oddHeader.right.text for sheet in book} == said_so
    assert {*pd.read_csv(StringIO(made["cut-list.csv"]))["layout"]} == said_so


def test_without_broken_rules_there_is_no_such_sheet(book):
    assert "violations" not in book.sheetnames


def test_text_is_never_a_formula_and_links_can_be_followed():
    there = said({"torch": {"remark": "=1+1", "link": "https://example.org/torch", "stock": "no"}})
    book = openpyxl.load_workbook(BytesIO(files(there)["lists.xlsx"]))
    cells = [cell for sheet in book for line in sheet.iter_rows() for cell in line]
    assert {cell.data_type for cell in cells if cell.value == "=1+1"} == {"s"}
    assert "https://example.org/torch" in {cell.hyperlink.target for cell in cells if cell.hyperlink}


def test_a_link_that_is_too_long_for_a_workbook_is_text():
    link = "https://example.org/" + "x" * 3000
    book = openpyxl.load_workbook(BytesIO(files(said({"torch": {"link": link}}))["lists.xlsx"]))
    cells = [cell for sheet in book for line in sheet.iter_rows() for cell in line]
    assert link in {cell.value for cell in cells}
    assert not any(cell.hyperlink for cell in cells)


def test_the_same_lists_give_the_same_workbook(monkeypatch):
    made = files()["lists.xlsx"]
    monkeypatch.setattr("time.time", lambda: 2e9)
    assert files()["lists.xlsx"] == made


def test_every_list_filters_over_all_its_rows(book):
    for sheet in book:
        assert sheet.auto_filter.ref == sheet.dimensions


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("4x4 & more", " 4x4 && more"),
        ("R&G [1]", "R&& G [1]"),
        ("a &[Picture]", "a && [Picture]"),
        ("&" * 80, "&" * 160),
    ],
)
def test_a_name_in_a_header_is_never_a_code(name, shown):
    with ZipFile(BytesIO(files(replace(PROBLEM, name=name))["lists.xlsx"])) as book:
        sheet = ElementTree.fromstring(book.read("xl/worksheets/sheet1.xml"))
    (header,) = sheet.iter("{http://schemas.openxmlformats.org/spreadsheetml/2006/main}oddHeader")
    assert header.text.split("&C")[1].rpartition("&R")[0] == shown


def test_names_that_a_header_or_a_cell_cannot_hold_do_no_harm():
    there = replace(said({"torch": {"remark": "bell\x07", "link": "https://\x07"}}), name="Salt & pepper " + "x" * 300)
    book = openpyxl.load_workbook(BytesIO(files(there)["lists.xlsx"]))
    assert book["outputs"].oddHeader.center.text.startswith("Salt && pepper")
    assert "bell?" in {cell.value for line in book["outputs"].iter_rows() for cell in line}
