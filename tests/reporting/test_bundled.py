from __future__ import annotations

from dataclasses import replace

from allocator.evaluation.bundle_figures import bundles
from allocator.evaluation.prepare import prepare
from allocator.problem import Bundling
from allocator.reporting import bundled as shown
from allocator.reporting.bundled import bundled
from allocator.reporting.text import plain
from tests.reporting.read import headings, rows, tables
from tests.reporting.warm import CART, LAYOUT


def table(problem=CART, made=LAYOUT):
    (found,) = tables(bundled(prepare(problem, made)))
    return found


def with_margins(**margins):
    return replace(CART, margins=replace(CART.margins, **margins))


def test_the_warmest_bundle_comes_first_with_its_heat_in_its_warmest_condition():
    found = table()
    assert found.title == "Warmest bundles"
    assert headings(found) == ["segment", "wires", "cables beside", "mm across", "W/m", "may be", "use", "in"]
    # the figures are those of tests/reporting/lists/test_bundles.py
    assert rows(found) == (
        ("middle - rear", "3", "", "5.5", "7.6", "9.6", "79 %", "night"),
        ("front - middle", "2", "1", "4.3", "2.0", "5.7", "35 %", "day"),
        ("battery - front", "0", "2", "", "", "", "", ""),
    )


def test_a_few_are_shown_and_the_others_counted(monkeypatch):
    monkeypatch.setattr(shown, "SHOWN", 1)
    text = plain(bundled(prepare(CART, LAYOUT)))
    assert "middle - rear" in text and "front - middle" not in text
    assert "2 more segments, none warmer: the list of bundles has all." in text
    assert len(bundled(prepare(CART, LAYOUT), in_full=True)[0].rows) == 3


def test_a_bundle_that_is_too_warm_is_seen_to_be():
    hot = replace(CART, ambient_c=75.0)
    most = max(one.warmest.share for one in bundles(hot, LAYOUT) if one.warmest)
    assert most > 1.0
    assert rows(table(hot))[0][-2] == f"{100.0 * most:.0f} %"


def test_where_nothing_may_be_given_off_no_share_is_told():
    segments = (*CART.segments[:2], replace(CART.segments[2], ambient_c=100.0))
    first = rows(table(replace(CART, segments=segments)))[0]
    assert (first[0], first[-3], first[-2]) == ("middle - rear", "0.0", "none left")


def test_by_the_table_wires_and_loading_stand_against_what_was_stated():
    found = table(with_margins(bundle=Bundling.TABLE, bundle_wires=4, bundle_loading=0.6))
    assert found.title == "Fullest bundles"
    assert headings(found)[4:] == ["stated", "loaded", "stated to be", "in"]
    # wires carry 0.815 (MIL-W-5088L, figure 4: four at 60 % keep 0.75) of what they bear alone
    by_name = {row[0]: row[1:] for row in rows(found)}
    assert by_name["middle - rear"] == ("3", "", "5.5", "4", "55 %", "60 %", "night")
    assert by_name["battery - front"] == ("0", "2", "", "4", "", "", "")


def test_without_any_rule_the_published_factor_is_told_for_comparison():
    found = table(with_margins(bundle=Bundling.NONE))
    assert headings(found)[-2:] == ["factor by the table", "wires below it"]
    assert {row[0]: row[-2:] for row in rows(found)} == {
        "middle - rear": ("0.81", "1"), "front - middle": ("0.92", ""), "battery - front": ("", ""),
    }  # fmt: skip


def test_without_a_line_in_any_segment_there_is_no_table():
    assert bundled(prepare(CART, replace(LAYOUT, circuits=(), units=()))) == ()
