from __future__ import annotations

import csv
from dataclasses import replace
from io import StringIO

from allocator.layout import Layout
from allocator.reporting import files
from allocator.reporting.csv_text import csv_text
from allocator.reporting.lists import build_of, made
from allocator.table import Table, keyed
from tests.reporting.lists.samples import LAYOUT as LISTED
from tests.reporting.lists.samples import PROBLEM as LISTS_PROBLEM
from tests.reporting.samples import LAYOUT, PROBLEM

BUILD = build_of(PROBLEM, LAYOUT)


def test_a_result_is_a_layout_its_tables_and_lists():
    tables = ["circuits.csv", "wires.csv", "volts.csv", "margins.csv"]
    lists = [f"{one.name}.csv" for one in made(BUILD)]
    others = ["lists.xlsx", "page.html"]
    assert list(files.contents(PROBLEM, LAYOUT)) == ["layout.json", "layout.txt", *tables, *lists, *others]


def test_the_names_of_all_files_are_known_before_there_is_a_layout():
    assert list(files.contents(PROBLEM, LAYOUT)) == list(files.FILES)


def test_a_report_of_a_clean_layout_is_the_result_again():
    again, first = files.reported(LISTED, build_of(LISTS_PROBLEM, LISTED)), files.contents(LISTS_PROBLEM, LISTED)
    assert build_of(LISTS_PROBLEM, LISTED).report.clean
    assert list(again) == list(first)
    assert {name for name in first if first[name] != again[name]} <= {"lists.xlsx", "layout.json"}
    assert Layout.from_json(again["layout.json"]) == LISTED


def test_a_report_of_a_layout_that_breaks_rules_has_no_file_that_does_not_say_so():
    broken = replace(LISTED, circuits=LISTED.circuits[1:])
    again = files.reported(broken, build_of(LISTS_PROBLEM, broken))
    assert Layout.from_json(again["layout.json"]) == broken
    assert {"violations.csv", "cut-list.csv", "page.html", "lists.xlsx"} <= set(again)
    assert not {"layout.txt", "circuits.csv", "wires.csv", "volts.csv", "margins.csv"} & set(again)


def test_the_layout_file_reads_back():
    assert Layout.from_json(files.contents(PROBLEM, LAYOUT)["layout.json"]) == LAYOUT


def test_every_default_stands_in_the_text():
    assert "* margins: output_use 0.8\n" in files.contents(PROBLEM, LAYOUT)["layout.txt"]


def test_lists_keep_commas_and_quotes_of_names():
    text = csv_text(Table(columns=keyed("circuit", "current_a"), rows=(('a, "b"', None),)))
    assert list(csv.DictReader(StringIO(text))) == [{"circuit": 'a, "b"', "current_a": ""}]


def test_an_empty_list_has_its_headings():
    assert csv_text(Table(columns=keyed("circuit", "current_a"), rows=())) == "circuit,current_a\n"
