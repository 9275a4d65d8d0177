from __future__ import annotations

from pathlib import Path
from shutil import copy

import openpyxl
import pytest

from allocator.importing.grid import GridCell
from allocator.importing.understanding import read_schedule
from tests.reading.books import as_ods

SCHEDULES = Path(__file__).parents[1] / "cases" / "schedules"


@pytest.mark.parametrize(("number", "value"), [(True, 13.625), (False, 13625.0)])
def test_a_number_of_the_file_has_a_point_whatever_commas_mark_elsewhere(number, value):
    assert GridCell("13.625", number=number).figure(",").value == value


def test_a_schedule_in_the_open_format_says_the_same(tmp_path):
    copy(SCHEDULES / "harbour-launch" / "schedule.xlsx", tmp_path)
    first, other = (read_schedule(path) for path in (tmp_path / "schedule.xlsx", as_ods(tmp_path / "schedule.xlsx")))
    assert [item.name for item in other.items] == [item.name for item in first.items]
    assert len(other.items) > 5


def test_a_schedule_in_the_old_format_is_read():
    schedule = read_schedule(SCHEDULES.parent / "workbooks" / "workshop-trailer.xls", "loads")
    assert "pump" in [item.name for item in schedule.items]


@pytest.mark.parametrize("stray", ["A1048576", "XFD1048576"])
def test_a_stray_value_far_below_a_schedule_is_a_note(stray, tmp_path):
    book = openpyxl.load_workbook(SCHEDULES / "book-bus" / "schedule.xlsx")
    book.worksheets[0][stray] = "stray"
    book.save(tmp_path / "schedule.xlsx")
    plain, other = read_schedule(SCHEDULES / "book-bus" / "schedule.xlsx"), read_schedule(tmp_path / "schedule.xlsx")
    assert [item.name for item in other.items] == [item.name for item in plain.items]
    assert [finding.said for finding in other.findings if finding.row == 1048576] == ["is a note"]
