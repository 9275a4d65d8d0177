from __future__ import annotations

import pytest

from allocator.evaluation.complete import complete
from allocator.layout import Contact
from allocator.problem import Bulkhead, Bundling, ContactSet
from allocator.wiring import ampacity_a, resistance_ohm_m, running_temperature_c
from allocator.wiring.bundle_heat import body_rise_k, square_mm2
from tests.checking.builders import SEGMENTS, SHARED, back, circuit, layout, load, out, problem, replace, shared_circuit
from tests.checking.cases_bundles import bundled, row
from tests.checking.cases_wires import lost_v


def drop_v(given, decisions) -> float:
    """Branch drop of the first circuit in volts."""
    percent = complete(given, decisions).circuits[0].drop_percent
    assert percent is not None
    return percent / 100.0 * given.running_v


def test_a_wire_and_its_return_at_running_temperature():
    assert drop_v(problem(), layout()) == pytest.approx(lost_v("1.5 mm2", 2.3, 4.0) + lost_v("1.5 mm2", 0.3, 4.0))


def test_a_wire_alone_is_as_warm_as_it_makes_itself():
    expected = lost_v("1.5 mm2", 2.3, 4.0) + lost_v("1.5 mm2", 0.3, 4.0)
    assert drop_v(problem(margins={"bundle": Bundling.HEAT}), layout()) == pytest.approx(expected)


def bundle_c(*currents_a: float) -> float:
    """The middle of a bundle of wires of 1.5 mm2 at 45 degC: at 1 / 0.8^2 of the heat that they give."""
    own = row("1.5 mm2")
    heat = sum(resistance_ohm_m(own, own.insulation_c) * a**2 for a in currents_a) / 0.8**2
    squares = len(currents_a) * square_mm2(own)
    return 45.0 + body_rise_k(heat, squares, 45.0)


def test_a_wire_among_others_is_as_warm_as_they_make_it():
    """A lamp beside two busy wires: the middle of the bundle and its own rise; its ground lead passes no segment."""
    given, decisions = bundled(2.0, 11.0, 11.0, size="1.5 mm2", bundle=Bundling.HEAT)
    own = row("1.5 mm2")
    hot = bundle_c(2.0, 11.0, 11.0) + 55.0 * (2.0 / (0.8 * ampacity_a(own, 45.0))) ** 2
    assert hot > running_temperature_c(2.0, 0.8 * ampacity_a(own, 45.0), 45.0, 100.0)
    expected = 2.0 * resistance_ohm_m(own, hot) * 2.3 + lost_v("1.5 mm2", 0.3, 2.0)
    assert drop_v(given, decisions) == pytest.approx(expected)


def test_a_busy_wire_among_cool_ones_is_as_warm_as_it_makes_itself():
    given, decisions = bundled(11.0, 1.0, size="1.5 mm2", bundle=Bundling.HEAT)
    assert drop_v(given, decisions) == pytest.approx(lost_v("1.5 mm2", 2.3, 11.0) + lost_v("1.5 mm2", 0.3, 11.0))


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
