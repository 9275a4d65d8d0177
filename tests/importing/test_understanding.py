"""Small schedules with one thing untidy in each."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from allocator.importing.folder import folder_texts, write_folder
from allocator.importing.schedule import ASSUMED, LEFT_OUT, LOOK, OPEN, Schedule
from allocator.importing.understanding import read_schedule
from allocator.problem import ProblemError
from allocator.reading import read_problem
from allocator.reading.toml_text import parsed
from tests.cli.running import allocator

ROWS = "Item,Qty,Amps,Place\nFan,1,2.5,Roof\nPump,2,6,Bilge\n"


def of(tmp_path: Path, text: str | bytes, name: str = "list.csv") -> Schedule:
    path = tmp_path / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_schedule(path)


def said(schedule: Schedule, kind: str) -> list[str]:
    return [str(finding) for finding in schedule.of_kind(kind)]


def test_item_number_current_and_place_are_enough(tmp_path):
    schedule = of(tmp_path, ROWS)
    assert [(i.name, i.number, i.current, i.place) for i in schedule.items] == [
        ("Fan", "1", "2.5 A", "Roof"),
        ("Pump", "2", "6 A", "Bilge"),
    ]
    assert not schedule.of_kind(OPEN)


def test_a_frame_has_a_row_per_item_and_one_per_finding(tmp_path):
    schedule = of(tmp_path, ROWS.replace("2.5", "TBC"))
    assert list(schedule.frame()["load"]) == ["Fan", "Pump"]
    assert list(schedule.findings_frame().query("kind == @OPEN")["row"]) == [2]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
def test_any_encoding_and_delimiter_is_read(tmp_path, encoding, mark):
    text = ROWS.replace(",", mark).replace("Fan", "Lüfter")
    assert [item.name for item in of(tmp_path, text.encode(encoding)).items] == ["Lüfter", "Pump"]


def test_columns_may_come_in_any_order_and_the_heading_row_anywhere(tmp_path):
    schedule = of(tmp_path, "List of loads,,,\n\nPlace,Amps,Item,Qty\nRoof,2.5,Fan,1\n")
    assert (schedule.heading_row, schedule.items[0].name) == (3, "Fan")
    assert said(schedule, LEFT_OUT) == ["row 1 'List of loads': is above the headings"]


def test_units_may_stand_in_a_row_of_their_own(tmp_path):
    schedule = of(tmp_path, "Item,Qty,Draw,Run\n,,[mA],(ft)\nLogger,1,300,12\n")
    assert (schedule.items[0].current, schedule.items[0].length) == ("300 mA", "12 ft")


def test_a_column_that_numbers_the_rows_is_not_how_many_there_are(tmp_path):
    schedule = of(tmp_path, "No.,Item,Amps\n1,Fan,1\n2,Pump,2\n3,Lamp,3\n")
    assert {item.number for item in schedule.items} == {""}
    assert said(schedule, LOOK) == ["no column says how many there are of an item: one of each is assumed"]


def test_numbers_that_begin_again_in_each_section_number_the_rows_too(tmp_path):
    schedule = of(tmp_path, "No.,Item,Amps\n1,Fan,1\n2,Pump,2\n\n1,Lamp,3\n2,Horn,3\n3,Bell,1\n")
    assert {item.number for item in schedule.items} == {""}


def test_a_column_of_figures_that_is_not_used_is_pointed_out(tmp_path):
    schedule = of(tmp_path, "Item,Qty,Watts,Load,Price,Place\nFan,1,30,2.5,12,Roof\nPump,1,60,5,40,Bilge\n")
    assert said(schedule, LOOK) == ["column 'Load' contains figures that are not used"]


def test_names_may_stand_under_no_heading(tmp_path):
    schedule = of(tmp_path, ",Qty,Amps,Place\nFan,1,2.5,Roof\nPump,2,6,Bilge\n")
    assert [item.name for item in schedule.items] == ["Fan", "Pump"]
    assert "column A has no heading and is read as names" in said(schedule, ASSUMED)


@pytest.mark.parametrize("heading", ["Amps @ 230 V", "Amps (115 VAC)"])
def test_currents_at_another_voltage_are_to_be_filled_in(tmp_path, heading):
    schedule = of(tmp_path, ROWS.replace("Amps", heading))
    assert [(finding.row, finding.key) for finding in schedule.of_kind(OPEN)] == [(2, "current"), (3, "current")]


def test_a_repeated_heading_a_total_and_a_sum_that_nobody_named_are_left_out(tmp_path):
    schedule = of(tmp_path, ROWS + "Item,Qty,Amps,Place\nLamp,1,1,Roof\n,,9.5,\nGrand total:,,9.5,\n")
    assert [item.name for item in schedule.items] == ["Fan", "Pump", "Lamp"]
    assert said(schedule, LEFT_OUT) == [
        "row 4 'Item | Qty | Amps | Place': is the row of headings again",
        "row 6 '9.5': is a total",
        "row 7 'Grand total: | 9.5': is a total",
    ]


def test_a_figure_without_a_name_that_is_no_sum_is_an_item_to_name(tmp_path):
    schedule = of(tmp_path, ROWS + ",,3,\n")
    assert len(schedule.items) == 3
    assert [(f.row, f.key) for f in schedule.of_kind(OPEN)] == [(4, "load"), (4, "place")]


def test_an_item_whose_name_begins_like_a_total_is_an_item(tmp_path):
    assert "Total station" in [item.name for item in of(tmp_path, ROWS + "Total station,1,3,Roof\n").items]


def test_without_a_column_of_places_the_section_is_the_place(tmp_path):
    schedule = of(tmp_path, "Item,Qty,Amps\nROOF,,\nFan,1,2.5\n\nBilge\nPump,2,6\n")
    assert [(item.name, item.place) for item in schedule.items] == [("Fan", "ROOF"), ("Pump", "Bilge")]
    assert any("section that they are under is taken as their place" in text for text in said(schedule, ASSUMED))


def test_a_name_alone_among_items_may_be_an_item_and_is_not_lost(tmp_path):
    schedule = of(tmp_path, "Item,Qty,Amps,Place\nFan,1,2.5,Roof\nHorn,,,\nPump,2,6,Bilge\n")
    assert [item.name for item in schedule.items] == ["Fan", "Horn", "Pump"]
    assert {(f.row, f.key) for f in schedule.of_kind(OPEN)} == {(3, "current"), (3, "place")}


def test_what_all_draw_together_is_shared_out(tmp_path):
    schedule = of(tmp_path, "Item,Qty,Total A\nPump,4,10\n")
    assert schedule.items[0].current == "2.5 A"
    assert "row 2, Total A '10': is for all 4 together: 2.5 A each" in said(schedule, ASSUMED)


def test_what_several_draw_together_is_not_shared_out_over_an_unknown_number(tmp_path):
    schedule = of(tmp_path, "Item,Qty,Total A,Place\nPump,some,10,Bilge\n")
    assert {(f.row, f.key) for f in schedule.of_kind(OPEN)} == {(2, "quantity"), (2, "current")}


def test_a_figure_is_said_of_a_reading_and_not_of_what_was_ignored(tmp_path):
    schedule = of(tmp_path, "Item,Qty,Amps,Place\nFan,1,2 - 3 (taken at noon),Roof\nPump,2,6,Bilge\n")
    texts = [finding.said for finding in schedule.of_kind(ASSUMED)]
    assert "is a range: the upper end is used, 3 A" in texts
    assert "'(taken at noon)' is ignored" in texts


def test_the_highest_current_goes_before_the_usual_one(tmp_path):
    schedule = of(tmp_path, "Item,Qty,Typical A,Max A\nPump,1,4,7\n")
    assert schedule.items[0].current == "7 A"
    assert "'Max A' is used instead of 'Typical A'" in said(schedule, ASSUMED)


def test_a_peak_beside_the_continuous_current_is_pointed_out_and_alone_it_is_taken(tmp_path):
    schedule = of(tmp_path, "Item,Qty,Cont. A,Peak A\nPump,1,4,20\n")
    assert schedule.items[0].current == "4 A"
    assert said(schedule, LOOK)[0].startswith("peaks under 'Peak A' are not used, because they come without a time")
    assert of(tmp_path, "Item,Qty,Peak A\nPump,1,20\n").items[0].current == "20 A"


def test_a_column_called_like_one_of_ours_that_says_something_else_is_not_taken_for_it(tmp_path):
    schedule = of(tmp_path, "Item,Place,Amps,Supply,Kind\nFan,A,2,12V,axial\nKettle,A,6,230 V,\n")
    assert [column.read_as for column in schedule.columns[3:]] == ["voltage", ""]
    assert [(finding.row, finding.key) for finding in schedule.of_kind(OPEN)] == [(3, "current")]
    ours = of(tmp_path, "Item,Place,Amps,Supply,Kind\nFan,A,2,direct,motor\n")
    assert ours.items[0].own == (("supply", "direct"), ("kind", "motor"))


def test_amperes_that_do_not_fit_the_watts_are_pointed_out(tmp_path):
    schedule = of(tmp_path, "Item,Qty,Amps,Watts\nPump,1,5,60\nFan,1,5,600\n")
    (finding,) = schedule.of_kind(LOOK)
    assert (finding.row, finding.cell) == (3, "600")


def test_an_item_of_another_voltage_is_to_be_filled_in(tmp_path):
    schedule = of(tmp_path, "Item,Place,Amps,Volts\nFan,A,2,12\nPump,A,3,12\nKettle,A,6.5,230\n")
    assert [(f.row, f.column, f.key) for f in schedule.of_kind(OPEN)] == [(4, "Volts", "current")]
    assert schedule.items[2].current == "6.5 at 230 V"


@pytest.mark.parametrize(
    ("heading", "system"),
    [
        ("Amps", (12.0, 13.6)),
        ("Amps @ 13.8", (12.0, 13.8)),
        ("Amps @ 24", (24.0, 27.2)),
        ("Amps (24V)", (24.0, 27.2)),
        ("Amps @ 27.6", (24.0, 27.6)),
    ],
)
def test_the_voltage_is_that_at_which_currents_are_stated(tmp_path, heading, system):
    schedule = of(tmp_path, ROWS.replace("Amps", heading))
    assert (schedule.nominal_v, schedule.running_v) == system


def test_a_start_current_needs_its_time(tmp_path):
    schedule = of(tmp_path, "Item,Place,Amps,Start A,Start time (ms)\nPump,A,5,20,\nFan,A,2,6,150\n")
    assert [(f.row, f.key) for f in schedule.of_kind(OPEN)] == [(2, "inrush_time")]
    assert dict(schedule.items[1].own) == {"inrush": "6 A", "inrush_time": "150 ms"}


def test_conditions_are_read_and_what_empty_means_is_said(tmp_path):
    schedule = of(tmp_path, "Item,Qty,Amps,Driving,Overnight\nFan,1,2,x,\nPump,1,3,,50%\nLamp,1,1,x,no\n")
    assert schedule.conditions == ("driving", "overnight")
    assert [item.levels for item in schedule.items] == [("1", ""), ("0", "0.5"), ("1", "0")]
    assert "Driving: is an operating condition; an empty cell means off" in said(schedule, ASSUMED)
    assert "Overnight: is an operating condition; an empty cell means on" in said(schedule, ASSUMED)


def test_beside_conditions_a_column_of_levels_is_one_whatever_it_is_called(tmp_path):
    text = "Item,Qty,Amps,Driving,Weeding,Colour\nFan,1,2,x,,0\nPump,1,3,,80 %,1\n"
    assert of(tmp_path, text).conditions == ("driving", "weeding")
    assert of(tmp_path, text.replace("Driving", "Hoeing")).conditions == ()


def test_a_column_that_only_sounds_like_a_condition_is_carried_along(tmp_path):
    assert of(tmp_path, "Item,Qty,Amps,Working\nFan,1,2,since May\n").conditions == ()


def test_places_in_two_spellings_are_one_and_near_ones_are_pointed_out(tmp_path):
    schedule = of(tmp_path, "Item,Qty,Amps,Place\nA,1,1,Engine bay\nB,1,1,engine bay\nC,1,1,Engin bay\n")
    assert [item.place for item in schedule.items] == ["Engine bay", "Engine bay", "Engin bay"]
    (told,) = said(schedule, LOOK)
    assert told == "places 'Engine bay' and 'Engin bay' are nearly alike: are they one? Then spell them alike"


def test_sides_of_a_machine_are_not_pointed_out(tmp_path):
    assert not of(tmp_path, "Item,Qty,Amps,Place\nA,1,1,Left wall\nB,1,1,Right wall\n").of_kind(LOOK)


def test_names_become_distinct_those_of_several_of_a_kind_too(tmp_path):
    rows = "Lamp,2,1,Roof\nLamp,1,1,Door\nLamp,1,1,Door\nFan 1,1,1,Roof\nFan,2,1,Hut\n"
    names = [item.name for item in of(tmp_path, "Item,Qty,Amps,Place\n" + rows).items]
    assert names == ["Lamp (Roof)", "Lamp (Door)", "Lamp (row 4)", "Fan 1 (Roof)", "Fan"]


@pytest.mark.parametrize("mark", ['"', "ditto", "as above"])
def test_as_above_is_what_stands_above(tmp_path, mark):
    quoted = mark.replace('"', '""')
    schedule = of(tmp_path, f'Item,Qty,Amps,Place\nFan,1,2,Roof\nLamp,1,1,"{quoted}"\n')
    assert schedule.items[1].place == "Roof"
    assert any("means the same as above, 'Roof'" in text for text in said(schedule, ASSUMED))


def test_of_two_columns_for_one_thing_the_second_is_carried_along_and_told_of(tmp_path):
    schedule = of(tmp_path, "Item,Qty,Amps,Place,Zone\nFan,1,2,Roof,Z1\n")
    assert "column 'Zone' is not used: 'Place' is read as place" in said(schedule, ASSUMED)
    assert schedule.items[0].place == "Roof"


def test_a_sheet_may_be_named(tmp_path):
    book = openpyxl.Workbook()
    for number, name in enumerate(("Old", "New")):
        sheet = book.create_sheet(name)
        sheet.append(["Item", "Qty", "Amps", "Place"])
        sheet.append(["Fan", 1, 2 + number, "Roof"])
    book.save(tmp_path / "list.xlsx")
    assert read_schedule(tmp_path / "list.xlsx", "New").items[0].current == "3 A"
    with pytest.raises(ProblemError, match=r"'Newer' is not one of its sheets, .*Write 'New' if"):
        read_schedule(tmp_path / "list.xlsx", "Newer")


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("", "has no row of headings that names items and what they draw. Head the columns with words such as"),
        ("one,two\n3,4\n", "has no row of headings"),
        ("Item,Amps\n", "row 1: has no item below its headings. Give each item a row"),
        (b"\x00\x01\x02", "is neither text nor a workbook. Open it in a spreadsheet program"),
    ],
)
def test_what_is_no_schedule_is_refused(tmp_path, text, wrong):
    with pytest.raises(ProblemError) as refusal:
        of(tmp_path, text)
    assert wrong in str(refusal.value)


ODD = ["9" * 5000, "¹", "٣", "1" + "0" * 400, "\ud7ff", "½", "5 A" * 400, "(" * 500, "1,2" * 500]


@pytest.mark.parametrize("text", ODD)
def test_odd_figures_are_no_accident(tmp_path, text):
    schedule = of(tmp_path, f'Item,No,Amps,Place,Run (ft)\nFan,"{text}","{text}","{text}","{text}"\nPump,1,2,Bilge,3\n')
    assert {finding.key for finding in schedule.of_kind(OPEN)} <= {"quantity", "current"}
    assert folder_texts(schedule)


def test_nothing_is_written_over_and_nothing_is_left_behind(tmp_path):
    (tmp_path / "list.csv").write_text(ROWS)
    made = tmp_path / "made"
    made.mkdir()
    (made / "mine.txt").write_text("mine")
    result = allocator("import", tmp_path / "list.csv", made)
    assert result.code == 2
    assert "already exists, and nothing is overwritten" in result.err
    assert [path.name for path in made.iterdir()] == ["mine.txt"]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["list.csv", "made"]


def test_a_refused_schedule_leaves_no_folder(tmp_path):
    (tmp_path / "list.csv").write_text("nothing\n")
    assert allocator("import", tmp_path / "list.csv", tmp_path / "made").code == 2
    assert not (tmp_path / "made").exists()


def test_the_import_for_programs(tmp_path):
    (tmp_path / "list.csv").write_text(ROWS.replace("2.5", "?"))
    record = json.loads(allocator("import", tmp_path / "list.csv", tmp_path / "made", "--json").out)
    assert record["columns"] == {"Item": "name", "Qty": "number", "Amps": "current [A]", "Place": "place"}
    assert [(f["row"], f["file"], f["key"]) for f in record["findings"] if f["kind"] == OPEN] == [
        (2, "loads.csv", "current"),
        (None, "segments.csv", "length"),
    ]


CELL = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=12) | st.sampled_from(
    ["5", "TBC", "8-12 A", "Total", "x", "1,250", "12 V", '"', "=A1", "0", "-1", "1e400", "999999999", "2 x lamp"]
)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.lists(CELL, min_size=1, max_size=6), max_size=8))
def test_whatever_stands_in_the_cells_there_is_a_folder_or_a_refusal(tmp_path, rows):
    stream = io.StringIO()
    csv.writer(stream).writerows([["Item", "No", "Amps", "Place", "Driving", "Run (ft)"], *rows])
    try:
        schedule = of(tmp_path, stream.getvalue())
    except ProblemError:
        return
    assert folder_texts(schedule)


UNTIDY = st.sampled_from(
    [
        *("5", "TBC", "8-12 A", "x", "1,250", "12 V", '"', "=A1", "0", "-1", "999999999", "2 x lamp", "lamp", "lamp 1"),
        *("Roof", "roof", "chassis", "5 A", "60W", "3.5", "yes", "50%", "12 ft", "12'6\"", "a;b", "\x07", "2", "", ""),
    ]
)
HEADINGS = ["Item", "Qty", "Amps", "Place", "Driving", "Start A", "Start time (s)", "Duty"]


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.lists(UNTIDY, min_size=1, max_size=8), min_size=1, max_size=6))
def test_of_any_rows_exactly_those_are_refused_that_were_told_of(tmp_path_factory, rows):
    stream = io.StringIO()
    csv.writer(stream).writerows([HEADINGS, *rows])
    home = tmp_path_factory.mktemp("any")
    try:
        schedule = of(home, stream.getvalue())
    except ProblemError:
        return
    lines = [item.row for item in schedule.items]
    told = {(lines.index(f.row) + 2, f.key) for f in schedule.of_kind(OPEN) if f.row is not None}
    with pytest.raises(ProblemError) as refusal:
        read_problem(write_folder(schedule, home / "made"))
    refused = {(m.row, m.field) for m in refusal.value.mistakes if m.table == "loads.csv"}
    # what a row lacks may hide what else of it would be refused
    assert refused <= told
    assert {row for row, _ in refused} == {row for row, _ in told}
    assert {m.table for m in refusal.value.mistakes} <= {"loads.csv", "segments.csv"}


def test_a_folder_is_made_of_a_schedule_with_names_of_every_kind(tmp_path):
    odd = 'Item,Qty,Amps,Place\n"a ""quoted"" = name",1,1,"C:\\x ""y"""\n=SUM(A1),1,1,Roof; door\n'
    folder = write_folder(of(tmp_path, odd), tmp_path / "made")
    assert parsed((folder / "problem.toml").read_text())["units"][0]["sites"] == ["unit site"]


@pytest.mark.parametrize("name", ["Reversing camera", "Reverse light", "Monitor, reversing-camera", "Reversing aid"])
def test_what_is_on_while_a_vehicle_backs_needs_no_output_that_reverses(tmp_path, name):
    schedule = of(tmp_path, f'Item,Qty,Amps,Place\n"{name}",1,0.5,Tail\n')
    assert said(schedule, LOOK) == said(of(tmp_path, "Item,Qty,Amps,Place\nLamp,1,0.5,Tail\n"), LOOK)


@pytest.mark.parametrize("name", ["Reversing winch", "Awning motor, reversing", "Slide reverse"])
def test_what_turns_both_ways_may_need_an_output_that_reverses(tmp_path, name):
    schedule = of(tmp_path, f'Item,Qty,Amps,Place\n"{name}",1,0.5,Tail\n')
    assert any("may need an output that can 'bridge'" in one for one in said(schedule, LOOK))
