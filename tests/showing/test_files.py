from __future__ import annotations

import csv
from io import StringIO

import pytest

from allocator.layout import Layout
from allocator.showing import files
from allocator.showing.lists import build_of, made
from tests.showing.samples import LAYOUT, PROBLEM

BUILD = build_of(PROBLEM, LAYOUT)


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_a_result_is_a_layout_its_tables_and_lists():
    tables = ["circuits.csv", "wires.csv", "volts.csv", "margins.csv"]
    lists = [f"{one.name}.csv" for one in made(BUILD)]
    others = ["lists.xlsx", "page.html"]
    assert list(files.contents(PROBLEM, LAYOUT)) == ["layout.json", "layout.txt", *tables, *lists, *others]


def test_what_needs_no_solving_is_written_again_from_a_layout_alone():
    assert set(files.reported(BUILD)) < set(files.contents(PROBLEM, LAYOUT))
    assert files.reported(BUILD)["cut-list.csv"] == files.contents(PROBLEM, LAYOUT)["cut-list.csv"]


def test_files_are_text_or_bytes(tmp_path):
    files.write(tmp_path / "out", {"a": "ä\n", "b": b"\x00\xff"})
    assert (tmp_path / "out" / "a").read_bytes() == "ä\n".encode()
    assert (tmp_path / "out" / "b").read_bytes() == b"\x00\xff"


def test_the_layout_file_reads_back():
    assert Layout.from_json(files.contents(PROBLEM, LAYOUT)["layout.json"]) == LAYOUT


def test_every_default_stands_in_the_text():
    assert "* margins: output_use 0.8\n" in files.contents(PROBLEM, LAYOUT)["layout.txt"]


def test_lists_keep_commas_and_quotes_of_names():
    text = files.csv_text([{"circuit": 'a, "b"', "current_a": None}])
    assert list(csv.DictReader(StringIO(text))) == [{"circuit": 'a, "b"', "current_a": ""}]


def test_an_empty_list_is_an_empty_file():
    assert files.csv_text([]) == ""


def test_a_folder_is_made_whole(tmp_path):
    files.write(tmp_path / "deep" / "out", {"a": "1\n", "b": "2\n"})
    assert names(tmp_path / "deep") == ["out"]
    assert names(tmp_path / "deep" / "out") == ["a", "b"]


def test_what_else_lies_in_the_folder_stays(tmp_path):
    (tmp_path / "notes").write_text("mine")
    (tmp_path / "a").write_text("old")
    files.write(tmp_path, {"a": "new"})
    assert names(tmp_path) == ["a", "notes"]
    assert (tmp_path / "a").read_text() == "new"


def test_a_failure_leaves_what_was_there(tmp_path):
    (tmp_path / "a").write_text("old")
    with pytest.raises(FileNotFoundError):
        files.write(tmp_path, {"a": "new", "missing/b": "cannot be written"})
    assert names(tmp_path) == ["a"]
    assert (tmp_path / "a").read_text() == "old"


def test_a_failure_leaves_no_half_folder(tmp_path):
    with pytest.raises(FileNotFoundError):
        files.write(tmp_path / "out", {"a": "new", "missing/b": "cannot be written"})
    assert names(tmp_path) == []


def test_a_file_in_the_way_is_found_before_the_solve(tmp_path):
    (tmp_path / "out").write_text("a file")
    with pytest.raises(NotADirectoryError):
        files.ensure_writable(tmp_path / "out")
    with pytest.raises(OSError):
        files.ensure_writable(tmp_path / "out" / "deeper")


def test_looking_whether_it_can_be_written_leaves_nothing(tmp_path):
    files.ensure_writable(tmp_path / "out")
    assert names(tmp_path) == []
