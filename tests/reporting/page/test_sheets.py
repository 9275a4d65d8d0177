from __future__ import annotations

import re
from dataclasses import replace

from allocator.analysis.failures import failures
from allocator.evaluation.complete import complete
from allocator.evaluation.network_volts import volts
from allocator.evaluation.prepare import prepare
from allocator.reporting.labels import labels_of
from allocator.reporting.loaded import loaded_outputs
from allocator.reporting.page import sheets
from allocator.reporting.page.whole import templates
from allocator.reporting.runs import stretches
from allocator.reporting.without_derating import beside
from allocator.table import Table, keyed, texts
from tests.reporting import warm
from tests.reporting.read import headings, rows
from tests.reporting.samples import LAYOUT, PROBLEM


def drawn(table):
    """The table as it stands in the page."""
    return str(templates().get_template("parts.html.j2").module.sorted(table))


def test_figures_are_sorted_by_their_value_and_not_as_text():
    found = drawn(Table(columns=keyed("length_m"), rows=((9.5,), (1234.5,), (None,))))
    assert '<th scope="col" class="number">length m</th>' in found
    cells = re.findall(r'<td class="number" data-order="(.*?)">(.*?)</td>', found)
    assert cells == [("9.5", "9.50"), ("1234.5", "1,234.50"), ("", "")]


def test_words_have_no_order_and_long_ones_say_so():
    found = drawn(Table(columns=texts("a"), rows=(("<x>",), ("y" * 40,), (None,))))
    assert "<td>&lt;x&gt;</td>" in found and "<td></td>" in found
    assert f'<td class="long">{"y" * 40}</td>' in found


def test_a_table_without_rows_says_so():
    assert '<p class="quiet">None.</p>' in drawn(Table(columns=texts("a"), rows=()))


def test_columns_of_the_user_keep_their_heading():
    said = replace(PROBLEM.loads[0], extra=(*PROBLEM.loads[0].extra, ("note_a", "x"), ("class", "odd")))
    found = sheets.circuits(replace(PROBLEM, loads=(said, *PROBLEM.loads[1:])), LAYOUT)
    assert {"note_a", "load class", "class", "stock"} <= set(headings(found))


def test_feeds_stand_in_a_table_of_their_own():
    assert len(sheets.feeds(LAYOUT).rows) == sum(unit.feed is not None for unit in LAYOUT.units)
    assert not any(cell == "feed" for row in sheets.wires(LAYOUT).rows for cell in row)


def test_volts_have_a_row_for_each_load_and_condition():
    assert len(sheets.volts(volts(PROBLEM, LAYOUT)).rows) == len(volts(PROBLEM, LAYOUT).loads)


def test_every_failure_that_takes_anything_is_listed():
    found = sheets.failures(failures(PROBLEM, LAYOUT))
    assert "unit front (so does the feed of unit front)" in {row[0] for row in found.rows}


def test_every_output_has_a_row():
    own = loaded_outputs(prepare(PROBLEM, LAYOUT))
    found = sheets.outputs("o", "front", own, PROBLEM.conditions)
    assert len(found.rows) == 9
    assert headings(found)[-2:] == ["current day A", "current night A"]


def test_stretches_tell_what_lies_in_the_bundle_what_beside_it_and_its_heat():
    found = sheets.stretches(stretches(prepare(warm.CART, warm.LAYOUT), complete(warm.CART, warm.LAYOUT)))
    cells = dict(zip(headings(found), rows(found)[1], strict=True))
    # the figures are those of tests/reporting/lists/test_bundles.py
    assert (cells["wires"], cells["cables beside"], cells["bundle mm"]) == ("2", "1", "4.3")
    assert (cells["heat W/m"], cells["allowed W/m"], cells["heat %"], cells["in"]) == ("2.0", "5.7", "34.66", "day")
    assert dict(zip(headings(found), rows(found)[0], strict=True))["heat W/m"] == ""


def test_a_bundle_that_may_give_nothing_has_no_share():
    segments = (*warm.CART.segments[:2], replace(warm.CART.segments[2], ambient_c=100.0))
    hot = replace(warm.CART, segments=segments)
    found = sheets.stretches(stretches(prepare(hot, warm.LAYOUT), complete(hot, warm.LAYOUT)))
    share = headings(found).index("heat %")
    assert [row[share] for row in rows(found)] == ["", "34.66", ""]


def test_a_cable_beside_a_bundle_says_so_among_the_feeds():
    made = complete(warm.CART, warm.LAYOUT)
    found = sheets.feeds(made, beside(prepare(warm.CART, made), labels_of(made)))
    lies = headings(found).index("lies")
    assert {row[0]: row[lies] for row in rows(found)} == {"feed main": "", "feed aux": "beside the bundle"}
