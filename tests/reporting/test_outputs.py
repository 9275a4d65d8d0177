from __future__ import annotations

from dataclasses import replace

from allocator.layout import PlacedWire
from allocator.problem import GivenWire
from allocator.reporting.blocks import Heading, Paragraph
from allocator.reporting.outputs import feed_line, outputs, wire_name
from tests.reporting import read
from tests.reporting.samples import CIRCUITS, LAYOUT, PROBLEM


def tables(layout=LAYOUT):
    return [read.rows(table) for table in read.tables(outputs(PROBLEM, layout))]


def row_of(pin):
    return next(row for row in tables()[0] if row[0] == pin)


def test_every_output_of_a_fitted_unit_has_a_row():
    pins = [row[0] for row in tables()[0] if row[0]]
    assert pins == ["H1", "H2", "H3", "H4", "S1", "S2", "S3", "S4", "S5"]


def test_an_output_shows_load_current_trip_wire_length_and_drop():
    assert row_of("S1") == ("S1", "light", "pump [x]", "4.40", "5.5", "1 mm2", "1.30", "1.25")


def test_a_return_wire_is_listed_under_its_output():
    rows = tables()[0]
    below = rows[rows.index(row_of("S1")) + 1]
    assert below == ("", "", "  return to nose", "", "", "1 mm2", "0.30", "")


def test_each_output_of_a_parallel_group_shows_its_part_of_the_current():
    assert row_of("H1")[2:4] == ("heater (1 of 2)", "10.00")
    assert row_of("H2")[2:4] == ("heater (2 of 2)", "10.00")


def test_each_output_of_a_bridge_pair_shows_the_whole_current():
    assert row_of("H3")[2:4] == ("window (1 of 2)", "6.00")


def test_a_shared_output_lists_trunk_branches_and_whose_return_each_is():
    names = [row[2].strip() for row in tables()[0]]
    at = names.index("lamp 1, lamp 2")
    assert names[at + 1 : at + 6] == [
        "trunk warm to tail",
        "branch tail to lamp 1",
        "branch tail to lamp 2",
        "return of lamp 1 to nose",
        "return of lamp 2 to nose",
    ]


def test_spare_and_unused_outputs_are_told_apart():
    assert row_of("S4")[2] == "unused"
    assert row_of("S5")[2] == "spare"


def test_a_spare_that_names_no_bank_is_taken_from_any():
    unit = replace(LAYOUT.units[0], spare=(("light", None, 2),))
    rows = tables(replace(LAYOUT, units=(unit,)))[0]
    assert [row[2] for row in rows if row[0] in ("S4", "S5")] == ["spare", "spare"]


def test_a_unit_that_is_not_fitted_is_named():
    assert Heading("Unit rear (nine-way): not fitted") in outputs(PROBLEM, LAYOUT)


def test_used_spare_and_unused_are_counted_per_unit():
    assert Paragraph("9 outputs: 7 used, 1 spare, 1 unused") in outputs(PROBLEM, LAYOUT)


def test_the_feed_shows_size_length_fuse_and_drop():
    assert feed_line(LAYOUT.units[0], "main") == "feed from main: 16 mm2, 2.30 m, fuse 60 A, drop 0.81 %"


def test_a_feed_that_a_hand_left_out_is_said_to_be_missing():
    assert feed_line(replace(LAYOUT.units[0], feed=None), "main") == "feed from main: not given"


def test_direct_loads_have_a_table_of_their_own():
    assert tables()[1] == (
        ("main", "radio", "3.00", "5", "1 mm2", "3.30", "0.40"),
        ("", "  return to nose", "", "", "1 mm2", "0.30", ""),
    )


def test_given_wires_are_listed_with_their_route_and_cores():
    assert tables()[2] == (("data pair", "nose, warm, tail", "2", "", "0.35 mm2", "2.30"),)


def test_a_given_wire_shows_the_current_of_each_core():
    pair = GivenWire(name="data pair", start="nose", end="tail", size="1 mm2", current_a=0.4)
    own = replace(PROBLEM, given_wires=(pair,))
    assert read.rows(read.tables(outputs(own, LAYOUT))[2])[0][3] == "0.40"


def test_one_size_given_by_hand_stands_at_every_pin():
    circuit = replace(CIRCUITS[1], wires=(PlacedWire(role="any", size="4 mm2"),), current_a=None, trip_a=None)
    rows = tables(replace(LAYOUT, circuits=(circuit,)))[0]
    assert rows[0] == ("H1", "heavy", "heater (1 of 2)", "", "", "4 mm2", "", "2.50")
    assert rows[1][5] == "4 mm2"


def test_a_return_without_an_end_is_still_a_return():
    assert wire_name(PlacedWire(role="return", size="1 mm2")) == "return"
