"""One table, written in every way that there is: the same rows each time, and nobody makes them again."""

from __future__ import annotations

import ast
import re
from io import BytesIO
from pathlib import Path

import openpyxl

from allocator.notebook import shown
from allocator.reporting.csv_text import csv_text
from allocator.reporting.lists import build_of
from allocator.reporting.lists.sheets import workbook_of
from allocator.reporting.page.whole import templates
from allocator.reporting.text import plain
from allocator.table import Table, count, figure, text
from tests.reporting.samples import LAYOUT, PROBLEM

PACKAGE = Path(__file__).parents[2] / "allocator"

TABLE = Table(
    name="wires",
    title="Wires",
    columns=(text("label"), count("cores"), figure("length", "m"), figure("trip", "A", significant=10)),
    rows=(("a <b>", 1, 1234.5, 7.5), ("c, d", 12, 0.125, None)),
)


def test_a_terminal_shows_figures_with_their_digits_to_the_right():
    assert plain([TABLE]) == (
        "Wires\n"
        "label  cores  length m  trip A\n"
        "------------------------------\n"
        "a <b>      1  1,234.50     7.5\n"
        "c, d      12      0.12\n"
    )  # fmt: skip


def test_a_csv_file_has_keys_and_whole_values():
    assert csv_text(TABLE) == 'label,cores,length [m],trip [A]\na <b>,1,1234.5,7.5\n"c, d",12,0.125,\n'
    assert csv_text(TABLE, {"layout": "optimal"}).splitlines()[1] == "a <b>,1,1234.5,7.5,optimal"


def test_a_sheet_has_keys_numbers_and_their_format():
    (sheet,) = openpyxl.load_workbook(BytesIO(workbook_of(build_of(PROBLEM, LAYOUT), (TABLE,))))
    assert sheet.title == "wires"
    assert [[cell.value for cell in row] for row in sheet.iter_rows()] == [
        ["label", "cores", "length [m]", "trip [A]"], ["a <b>", 1, 1234.5, 7.5], ["c, d", 12, 0.125, None],
    ]  # fmt: skip
    assert [cell.number_format for cell in sheet[2]] == ["General", "0", "0.00", "0.00"]


def test_the_page_shows_what_a_terminal_shows_and_sorts_by_the_value():
    look = templates().get_template("parts.html.j2").module
    heads = ["label", "cores", "length m", "trip A"]
    cells = ["a &lt;b&gt;", "1", "1,234.50", "7.5", "c, d", "12", "0.12", ""]
    for drawn in (str(look.sorted(TABLE)), str(look.grid(TABLE))):
        assert re.findall(r"<th [^>]*>(.*?)</th>", drawn) == heads
        assert re.findall(r"<td[^>]*>(.*?)</td>", drawn) == cells
    assert re.findall(r'data-order="(.*?)"', str(look.sorted(TABLE))) == ["1", "1234.5", "7.5", "12", "0.125", ""]


def test_a_notebook_shows_keys_and_values():
    drawn = shown("Wires", [], TABLE)
    assert re.findall(r"<th [^>]*>(.*?)</th>", drawn) == list(TABLE.keys)
    assert re.findall(r"<td[^>]*>(.*?)</td>", drawn) == ["a &lt;b&gt;", "1", "1234.5", "7.5", "c, d", "12", "0.125", ""]


def test_a_frame_has_keys_and_values():
    frame = TABLE.frame()
    assert frame.columns.to_list() == list(TABLE.keys)
    assert frame["length [m]"].to_list() == [1234.5, 0.125]
    assert [str(frame[key].dtype) for key in TABLE.keys[1:]] == ["int64", "float64", "float64"]


WRITERS = {
    "DataFrame": {
        "table.py": "a table",
        "reporting/lists/listing.py": "a list, with types that do not depend on its rows",
        "analysis/comparison.py": "figures as rows and layouts as columns: the type changes from row to row",
        "options/option_list.py": "options for one who looks into a pricing: no other way shows them",
        "importing/schedule.py": "the rows that import writes to loads.csv",
    },
    "writer": {"reporting/csv_text.py": "a table"},
    "RichTable": {"reporting/text.py": "a table"},
}
"""Who calls what writes rows, and what is written there."""


def test_rows_are_written_in_one_place_for_each_way():
    found: dict[str, set[str]] = {name: set() for name in WRITERS}
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                name = getattr(node.func, "attr", getattr(node.func, "id", ""))
                if name in found:
                    found[name].add(path.relative_to(PACKAGE).as_posix())
    assert found == {name: set(places) for name, places in WRITERS.items()}
