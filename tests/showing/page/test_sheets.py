from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.advising.failures import failures
from allocator.checking import complete
from allocator.checking.prepare import prepare
from allocator.checking.volts import volts
from allocator.showing.beside import beside
from allocator.showing.labels import labels_of
from allocator.showing.loaded import loaded_outputs
from allocator.showing.page import sheets
from allocator.showing.runs import stretches
from tests.showing import warm
from tests.showing.samples import LAYOUT, PROBLEM


@pytest.mark.parametrize(
    ("key", "heading"),
    [
        ("length_m", ("length", "m")),
        ("copper_g_m", ("copper", "g/m")),
        ("drop_percent", ("drop", "%")),
        ("current_a night driving", ("current night driving", "A")),
        ("from", ("from", "")),
        ("ampacity_used", ("ampacity used", "")),
    ],
)
def test_a_heading_names_the_unit(key, heading):
    assert sheets.heading_of(key) == heading


def test_figures_are_sorted_by_their_value_and_not_as_text():
    found = sheets.sheet("s", "S", [{"length_m": 9.5}, {"length_m": 1234.5}, {"length_m": None}])
    assert found.headings == (("length m", True),)
    assert [row[0].text for row in found.rows] == ["9.50", "1,234.50", ""]
    assert [row[0].order for row in found.rows] == [9.5, 1234.5, ""]


def test_a_column_without_anything_is_left_out():
    found = sheets.sheet("s", "S", [{"a": "x", "b": None, "c": ""}])
    assert found.headings == (("a", False),)


def test_columns_of_the_user_keep_their_heading():
    (heading, _) = sheets.sheet("s", "S", [{"note_a": "x"}], own=["note_a"]).headings[0]
    assert heading == "note_a"
    assert "stock" in [heading for heading, _ in sheets.circuits(PROBLEM, LAYOUT).headings]


def test_feeds_stand_in_a_table_of_their_own():
    assert len(sheets.feeds(LAYOUT).rows) == sum(unit.feed is not None for unit in LAYOUT.units)
    assert not any(cell.text == "feed" for row in sheets.wires(LAYOUT).rows for cell in row)


def test_volts_have_a_row_for_each_load_and_condition():
    assert len(sheets.volts(volts(PROBLEM, LAYOUT)).rows) == len(volts(PROBLEM, LAYOUT).loads)


def test_every_failure_that_takes_anything_is_listed():
    found = sheets.failures(failures(PROBLEM, LAYOUT))
    assert "unit front (so does the feed of unit front)" in {row[0].text for row in found.rows}


def test_every_output_has_a_row():
    own = loaded_outputs(prepare(PROBLEM, LAYOUT))
    found = sheets.outputs("o", "front", own, PROBLEM.conditions)
    assert len(found.rows) == 9
    assert [heading for heading, _ in found.headings][-2:] == ["current day A", "current night A"]


def test_stretches_tell_what_lies_in_the_bundle_what_beside_it_and_its_heat():
    found = sheets.stretches(stretches(prepare(warm.CART, warm.LAYOUT), complete(warm.CART, warm.LAYOUT)))
    names = [heading for heading, _ in found.headings]
    cells = dict(zip(names, [cell.text for cell in found.rows[1]], strict=True))
    # the figures are those of tests/showing/lists/test_bundles.py
    assert (cells["wires"], cells["cables beside"], cells["bundle mm"]) == ("2", "1", "4.3")
    assert (cells["heat W/m"], cells["allowed W/m"], cells["heat %"], cells["in"]) == ("2.0", "5.7", "34.66", "day")
    assert dict(zip(names, [cell.text for cell in found.rows[0]], strict=True))["heat W/m"] == ""


def test_a_bundle_that_may_give_nothing_has_no_share():
    segments = (*warm.CART.segments[:2], replace(warm.CART.segments[2], ambient_c=100.0))
    hot = replace(warm.CART, segments=segments)
    found = sheets.stretches(stretches(prepare(hot, warm.LAYOUT), complete(hot, warm.LAYOUT)))
    share = [heading for heading, _ in found.headings].index("heat %")
    assert [row[share].text for row in found.rows] == ["", "34.66", ""]


def test_a_cable_beside_a_bundle_says_so_among_the_feeds():
    made = complete(warm.CART, warm.LAYOUT)
    found = sheets.feeds(made, beside(prepare(warm.CART, made), labels_of(made)))
    lies = [heading for heading, _ in found.headings].index("lies")
    assert {row[0].text: row[lies].text for row in found.rows} == {"feed main": "", "feed aux": "beside the bundle"}


def test_an_empty_list_is_an_empty_sheet():
    assert sheets.sheet("s", "S", []).rows == ()
