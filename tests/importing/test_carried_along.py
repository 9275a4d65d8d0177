"""Columns of a spreadsheet that nothing is made of: they keep their headings, and the lists take from them."""

from __future__ import annotations

import csv
import io

from allocator import lists, read_problem, solve
from allocator.importing.folder import write_folder
from allocator.importing.schedule import ASSUMED
from allocator.importing.understanding import read_schedule

ROWS = "Item,Amps,Place,Colour,Link,Type,In hand\nFan,2.5,Roof,violet,fans.invalid,axial,\n"


def of(tmp_path, text):
    path = tmp_path / "list.csv"
    path.write_text(text)
    return read_schedule(path)


def test_a_colour_and_a_link_come_through_to_the_lists(tmp_path):
    folder = write_folder(of(tmp_path, ROWS), tmp_path / "made")
    segments = folder / "segments.csv"
    segments.write_text("from,to,length\nunit site,battery,1 m\nunit site,Roof,2 m\n")
    problem = read_problem(folder)
    found = lists(problem, solve(problem))
    assert "violet" in set(found["cut-list"]["colour"])
    assert "fans.invalid" in set(found["shopping"]["link"])
    outputs = found["outputs"]
    assert list(outputs.columns[outputs.columns.get_loc("schedule_row") + 1 :])[:3] == [
        "Colour", "Link", "Type (schedule)",
    ]  # fmt: skip


def test_a_reference_and_a_wire_of_the_schedule_are_carried_along_too(tmp_path):
    schedule = of(tmp_path, "Ref,Item,Amps,Place,Wire gauge,Fuse\nN1,Fan,2.5,Roof,14 AWG,5\n")
    frame = schedule.frame()
    assert frame[["Ref", "Wire gauge", "Fuse"]].iloc[0].tolist() == ["N1", "14 AWG", "5"]


def test_what_was_read_is_kept_beside_and_not_read_again(tmp_path):
    folder = write_folder(of(tmp_path, ROWS), tmp_path / "made")
    (row,) = csv.DictReader(io.StringIO((folder / "loads.csv").read_text()))
    assert (row["in the schedule: Amps"], row["current"], row["Type (schedule)"]) == ("2.5", "2.5 A", "axial")


def test_without_a_place_the_columns_that_may_be_it_are_named(tmp_path):
    schedule = of(tmp_path, "Item,Amps,Whereabouts,Rack,Remarks\nCABIN,,,,\nFan,2.5,Roof,,\n")
    remedy = "if 'Whereabouts' or 'Rack' does, head it 'Place' and import again"
    section = "the section that they are under is taken as their place"
    assert f"no column says where items are: {section}; {remedy}" in [str(one) for one in schedule.of_kind(ASSUMED)]
