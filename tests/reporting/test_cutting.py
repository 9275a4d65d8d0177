from __future__ import annotations

from dataclasses import replace

from allocator.layout import Layout
from allocator.reporting.blocks import Paragraph
from allocator.reporting.cutting import BARE, cutting
from allocator.reporting.text import WIDTH, plain
from tests.reporting import read
from tests.reporting.samples import LAYOUT


def rows(layout: Layout = LAYOUT, beside: frozenset[str] = frozenset()) -> dict[str, tuple[str, ...]]:
    (table,) = read.tables(cutting(layout, beside))
    return {row[0]: row[1:] for row in read.rows(table)}


def test_every_piece_shows_all_it_is_cut_by():
    found = rows()
    assert found["front S1"] == ("warm - nose", "1 mm2", "105", "1.30", "5.5", "1.00")
    assert found["heater return"] == ("tail - nose", "1 mm2", "105", "2.30", "28", "1.00")
    assert found["feed front"] == ("box - warm", "16 mm2", "105", "2.30", "60 f", "1.00")
    assert found["direct radio"] == ("box - nose", "1 mm2", "105", "3.30", "5 f", "1.00")
    assert found["given data pair/2"] == ("nose - warm - tail", "0.35 mm2", "105", "2.30", "", "1.00")


def test_the_list_is_readable_at_80_columns():
    assert max(map(len, plain(cutting(LAYOUT)).splitlines())) <= WIDTH


def test_given_wires_are_said_to_have_no_protector():
    assert Paragraph(BARE) in cutting(LAYOUT)
    assert Paragraph(BARE) not in cutting(replace(LAYOUT, given=()))


def test_a_cable_beside_a_bundle_says_so():
    assert rows(beside=frozenset({"feed front"}))["feed front"][0] == "box - warm, beside the bundle"
    assert rows(beside=frozenset({"feed front"}))["direct radio"][0] == "box - nose"


def test_a_layout_without_wires_has_no_list():
    assert cutting(Layout(problem="nothing")) == ()
