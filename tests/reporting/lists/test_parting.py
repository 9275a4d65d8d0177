from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from allocator.reporting.lists import build_of
from allocator.reporting.lists.parting import shares_m
from tests.reporting.lists.samples import LAYOUT, PROBLEM, with_gland, with_two_walls


def pieces(problem, layout, wire):
    build = build_of(problem, layout)
    return [piece for piece in build.pieces if piece.wire == wire]


def told(problem, layout, wire):
    return [
        (p.label, p.start, p.from_pin, p.end, p.to_pin, p.route, round(p.length_m, 6))
        for p in pieces(problem, layout, wire)
    ]


def test_a_connector_parts_a_wire_in_the_middle_of_its_segment_with_half_the_tail_at_each_end():
    """Battery to rear: 0.5 m, 1.0 m with the wall in it, 1.0 m, and 0.3 m of tail."""
    number = next(c.number for c in LAYOUT.direct[0].wires[0].contacts)
    assert told(PROBLEM, LAYOUT, "direct pump") == [
        ("direct pump/a", "source battery", "", "bulkhead wall", f"{number}", ("battery", "front"), 1.15),
        ("direct pump/b", "bulkhead wall", f"{number}", "pump", "", ("middle", "rear"), 1.65),
    ]
    assert [piece.tolerance_m for piece in pieces(PROBLEM, LAYOUT, "direct pump")] == [0.5, 0.5]


def test_a_gland_parts_nothing():
    problem, layout = with_gland()
    assert told(problem, layout, "direct pump") == [
        ("direct pump", "source battery", "", "pump", "", ("battery", "front", "middle", "rear"), 2.8)
    ]


def test_two_connectors_make_three_pieces():
    problem, layout = with_two_walls()
    found = told(problem, layout, "direct pump")
    assert [(label, start, end, length) for label, start, _, end, _, _, length in found] == [
        ("direct pump/a", "source battery", "bulkhead wall", 1.15),
        ("direct pump/b", "bulkhead wall", "bulkhead second", 1.0),
        ("direct pump/c", "bulkhead second", "pump", 0.65),
    ]
    assert [piece.tolerance_m for piece in pieces(problem, layout, "direct pump")] == [0.5, 1.0, 0.5]
    contacts = [c.number for c in layout.direct[0].wires[0].contacts]
    assert [pin for *_, pin, _, _ in found][:2] == [f"{n}" for n in contacts]


def test_a_bulkhead_with_a_place_of_its_own_makes_the_cut_exact():
    segments = (PROBLEM.segments[0], replace(PROBLEM.segments[1], length_m=0.0), PROBLEM.segments[2])
    problem = replace(PROBLEM, segments=segments)
    found = pieces(problem, LAYOUT, "direct pump")
    assert [piece.length_m for piece in found] == pytest.approx([0.65, 1.15])
    assert [piece.tolerance_m for piece in found] == [0.0, 0.0]


def test_a_feed_is_parted_at_a_stud():
    found = told(PROBLEM, LAYOUT, "feed aux")
    assert [(start, end, pin) for _, start, _, end, pin, _, _ in found] == [
        ("source battery", "bulkhead wall", "stud"),
        ("bulkhead wall", "unit aux", ""),
    ]


def test_what_the_lead_takes_off_comes_off_the_piece_at_the_load():
    assert shares_m([1.0, 2.0], 3.3 - 1.0, 0.3) == pytest.approx([1.15, 1.15])
    assert shares_m([1.0, 0.5], 1.8 - 1.2, 0.3) == pytest.approx([0.6, 0.0])


def test_a_measured_length_is_shared_out_like_the_route():
    assert shares_m([1.0, 3.0], 2.0, 0.3, measured=True) == pytest.approx([0.5, 1.5])
    assert shares_m([0.0, 0.0], 2.0, 0.3, measured=True) == pytest.approx([1.0, 1.0])


@given(st.lists(st.floats(0, 30), min_size=1, max_size=4), st.floats(0, 100), st.floats(0, 2), st.booleans())
def test_pieces_sum_up_to_the_wire_and_none_is_negative(ways, length, tail, measured):
    found = shares_m(ways, length, tail, measured=measured)
    assert len(found) == len(ways)
    assert sum(found) == pytest.approx(length, abs=1e-9)
    assert min(found) >= 0.0
