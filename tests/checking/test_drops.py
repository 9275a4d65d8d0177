from __future__ import annotations

import pytest

from allocator.checking import complete
from allocator.layout import Contact
from allocator.problem import Bulkhead, Bundling, ContactSet
from allocator.wiring import resistance_ohm_m
from tests.checking.builders import SEGMENTS, SHARED, back, circuit, layout, load, out, problem, replace, shared_circuit
from tests.checking.cases_bundles import row
from tests.checking.cases_wires import lost_v


def drop_v(given, decisions) -> float:
    """Branch drop of the first circuit in volts."""
    percent = complete(given, decisions).circuits[0].drop_percent
    assert percent is not None
    return percent / 100.0 * given.running_v


def test_a_wire_and_its_return_at_running_temperature():
    assert drop_v(problem(), layout()) == pytest.approx(lost_v("1.5 mm2", 2.3, 4.0) + lost_v("1.5 mm2", 0.3, 4.0))


def test_a_wire_in_a_bundle_is_taken_to_be_warm():
    """Where bundles go by heat: 0.8^1.5 of its rise to the class, however little it carries; more where it does."""
    heat = {"bundle": Bundling.HEAT}
    hot = 45.0 + 0.8**1.5 * 55.0
    warm = 4.0 * resistance_ohm_m(row("1.5 mm2"), hot) * 2.3
    lone = lost_v("1.5 mm2", 0.3, 4.0)  # a ground lead passes no segment
    assert drop_v(problem(margins=heat), layout()) == pytest.approx(warm + lone)
    busy = problem(load(current_a=17.0), margins={**heat, "branch_drop": 0.2})
    full = lost_v("1.5 mm2", 2.3, 17.0) + lost_v("1.5 mm2", 0.3, 17.0)
    assert drop_v(busy, layout(circuit(pins="b1"))) == pytest.approx(full)


def test_parallel_wires_carry_their_share_and_the_return_all():
    given = problem(load(current_a=25.0))
    wires = (out(size="4 mm2"), out(size="4 mm2"), back(size="6 mm2"))
    expected = lost_v("4 mm2", 2.3, 12.5) + lost_v("6 mm2", 0.3, 25.0)
    assert drop_v(given, layout(circuit(pins="b1 b2", wires=wires))) == pytest.approx(expected)


def test_the_longer_wire_of_a_parallel_group_counts():
    given = problem(load(current_a=25.0))
    detour = ("front", "battery", "front", "middle", "rear")
    wires = (out(size="4 mm2"), out(size="4 mm2", route=detour), back(size="6 mm2"))
    expected = lost_v("4 mm2", 3.3, 12.5) + lost_v("6 mm2", 0.3, 25.0)
    assert drop_v(given, layout(circuit(pins="b1 b2", wires=wires))) == pytest.approx(expected)


def test_the_current_of_a_bridge_runs_out_and_back():
    given = problem(load(needs=("bridge",)))
    assert drop_v(given, layout(circuit(pins="b1 b2"))) == pytest.approx(2 * lost_v("1.5 mm2", 2.3, 4.0))


def test_spread_counts_in_full():
    given = problem(load(spread=0.5))
    expected = lost_v("1.5 mm2", 2.3, 6.0) + lost_v("1.5 mm2", 0.3, 6.0)
    assert drop_v(given, layout()) == pytest.approx(expected)


def test_each_piece_of_a_shared_wire_at_its_own_current_and_each_splice_at_the_current_that_arrives():
    expected = lost_v("1.5 mm2", 1.3, 6.0) + 0.0005 * 6.0 + lost_v("1.5 mm2", 1.3, 4.0) + lost_v("1.5 mm2", 0.3, 4.0)
    assert drop_v(problem(*SHARED), layout(shared_circuit())) == pytest.approx(expected)


def test_a_splice_place_with_two_splices_counts_both():
    spots = [load(f"spot{n}", "middle", 1.0, share="lights") for n in range(4)]
    given = problem(*spots, margins={"splice_wires": 4})
    expected = (
        lost_v("1.5 mm2", 1.3, 4.0) + 2 * 0.0005 * 4.0 + lost_v("1.5 mm2", 0.3, 1.0) + lost_v("1.5 mm2", 1.3, 1.0)
    )
    one = circuit("spot0 spot1 spot2 spot3")
    assert drop_v(given, layout(one)) == pytest.approx(expected)


def test_contacts_count_each_wire_its_own():
    wall = Bulkhead(name="wall", contacts=(ContactSet(count=9, wire_mm2=(0.5, 6.0), resistance_ohm=0.01),))
    segments = (SEGMENTS[0], replace(SEGMENTS[1], bulkhead="wall"), SEGMENTS[2])
    given = problem(load(current_a=25.0), segments=segments, bulkheads=(wall,))
    contact = (Contact(bulkhead="wall", set=0),)
    wires = (out(size="4 mm2", contacts=contact), out(size="4 mm2"), back(size="6 mm2"))
    expected = lost_v("4 mm2", 2.3, 12.5) + 12.5 * 0.01 + lost_v("6 mm2", 0.3, 25.0)
    assert drop_v(given, layout(circuit(pins="b1 b2", wires=wires))) == pytest.approx(expected)
