from __future__ import annotations

import csv
from dataclasses import replace
from io import StringIO

import pandas as pd
import pytest

from allocator.reporting import files
from allocator.reporting.csv_text import csv_text
from allocator.reporting.harmless import harmless
from allocator.reporting.lists import build_of
from allocator.reporting.lists.sheets import list_files
from allocator.table import Table, texts
from tests.reporting.lists.samples import LAYOUT, PROBLEM, said

NASTY = ["=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "\t=1", "\r=1", " =1+1", "\uff1d1+1", "-", "+49 30 1234"]


@pytest.mark.parametrize("text", NASTY)
def test_text_that_a_program_would_reckon_with_gets_an_apostrophe(text):
    assert harmless(text) == "'" + text.replace("\r", "\n")


def test_a_carriage_return_begins_no_row_of_its_own():
    text = csv_text(Table(columns=texts("name", "remark"), rows=(("a\r=1", "b\r\n=2"),)))
    assert list(csv.reader(StringIO(text, newline=""))) == [["name", "remark"], ["a\n=1", "b\n=2"]]


@pytest.mark.parametrize("cell", ["-0.5", "+3", "-1e-9", "-.5", -0.5, -3, None, "", "fan", "a=b", "2 - 3", "'quoted"])
def test_numbers_and_other_text_stay_as_they_are(cell):
    assert harmless(cell) == cell
    assert type(harmless(cell)) is type(cell)


def cells(text: str):
    return [cell for row in csv.reader(StringIO(text, newline="")) for cell in row]


def test_no_cell_of_any_list_begins_a_formula():
    columns = dict.fromkeys(NASTY, "x") | {f"remark {n}": text for n, text in enumerate(NASTY)}
    problem = replace(said({"torch": columns}), name=NASTY[0])
    every = {**files.contents(problem, LAYOUT), **list_files(build_of(problem, LAYOUT))}
    tables = {name: one for name, one in every.items() if name.endswith(".csv")}
    assert len(tables) == 17
    found = [cell for one in tables.values() for cell in cells(one)]
    assert {cell for cell in found if harmless(cell) != cell} == set()
    assert set(map(harmless, NASTY)) <= set(found)


def test_negative_figures_stay_numbers():
    text = csv_text(Table(columns=texts("name", "drop", "unit"), rows=(("-a", -0.5, None),)))
    table = pd.read_csv(StringIO(text))
    assert table.to_dict("records") == [{"name": "'-a", "drop": -0.5, "unit": pytest.approx(float("nan"), nan_ok=True)}]


def test_the_layout_file_keeps_names_as_they_are():
    assert "'=" not in files.contents(replace(PROBLEM, name="=1+1"), LAYOUT)["layout.json"]
