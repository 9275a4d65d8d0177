from __future__ import annotations

from dataclasses import replace
from math import pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from allocator.problem import Wire
from allocator.wiring import ampacity_a, resistance_ohm_m
from allocator.wiring.air import pressure_pa
from allocator.wiring.ampacity import leaving_w_m
from allocator.wiring.bundle_heat import (
    BUNDLE_W_M_K,
    SQUARES_STEP_MM2,
    TOLERANCE,
    BundledWire,
    Surroundings,
    beside_cable_a,
    body_rise_k,
    bundle_diameter_mm,
    bundle_heat,
    free_heat_w_m,
    own_rise_k_m_w,
    square_mm2,
)
from tests.published.tables import built_in
from tests.wiring.differences import Disc, hottest_rise_k, rings

THIN_WALL = {wire.size: wire for wire in built_in("metric-thin-wall")}
AMBIENT_C, ALLOWANCE = 45.0, 0.80
WIRES = st.lists(
    st.builds(BundledWire, st.sampled_from(list(THIN_WALL.values())), st.floats(0.0, 10.0), st.floats(10.0, 20.0)),
    min_size=2,
    max_size=12,
)


def rise_k(wires: list[Wire], heats: list[float]) -> float:
    """Rise of the hottest conductor by the rule's own parts, in K."""
    across, total = bundle_diameter_mm(wires), sum(heats)
    low, high = AMBIENT_C, AMBIENT_C + 500.0
    for _ in range(60):
        surface = (low + high) / 2
        if leaving_w_m(across * 1e-3, surface, AMBIENT_C, pressure_pa(0.0)) < total:
            low = surface
        else:
            high = surface
    body = surface - AMBIENT_C + total / (4.0 * pi * BUNDLE_W_M_K)
    return body + max(own_rise_k_m_w(wire, across) * heat for wire, heat in zip(wires, heats, strict=True))


ALIKE = pytest.mark.parametrize(
    ("size", "counts", "heats"),
    [
        ("1.5 mm2", (1, 6), [14.2 / 7] * 7),
        ("1.5 mm2", (1, 6), [6.0] + [0.15] * 6),
        ("1.5 mm2", (1, 6), [0.15, 6.0] + [0.15] * 5),
        ("0.5 mm2", (1, 6, 12), [21.4 / 19] * 19),
        ("0.5 mm2", (1, 6, 12), [6.0] + [0.15] * 18),
        ("1.5 mm2", (1, 6, 12, 18), [32.2 / 37] * 37),
    ],
    ids=["7", "7, the middle hot", "7, one at the outside hot", "19", "19, the middle hot", "37"],
)


@ALIKE
def test_wires_that_touch_are_no_hotter_than_the_rule_says(size: str, counts: tuple[int, ...], heats: list[float]):
    wire, n = THIN_WALL[size], sum(counts)
    across = wire.diameter_mm * (2 * len(counts) - 1)
    discs = [
        Disc(x, y, wire.diameter_mm, wire.conductor_mm, heat)
        for (x, y), heat in zip(rings(counts, wire.diameter_mm), heats, strict=True)
    ]
    found = hottest_rise_k(discs, across, AMBIENT_C, wire.diameter_mm / 16)
    assert 0.6 * rise_k([wire] * n, heats) < found < rise_k([wire] * n, heats)


@ALIKE
def test_wires_with_room_between_them_stay_within_the_allowance(size: str, counts: tuple[int, ...], heats: list[float]):
    """Spread evenly over the diameter that the rule takes, no wire touches another: looser than anybody ties them."""
    wire, n = THIN_WALL[size], sum(counts)
    across = bundle_diameter_mm([wire] * n)
    step = (across - wire.diameter_mm) / 2 / (len(counts) - 1)
    discs = [
        Disc(x, y, wire.diameter_mm, wire.conductor_mm, heat)
        for (x, y), heat in zip(rings(counts, step), heats, strict=True)
    ]
    found = hottest_rise_k(discs, across, AMBIENT_C, wire.diameter_mm / 16)
    assert ALLOWANCE**2 * found < rise_k([wire] * n, heats)
    if len(set(heats)) == 1:
        assert found < rise_k([wire] * n, heats)


def test_a_heavy_hot_wire_off_the_middle_of_thin_ones_is_no_hotter_than_the_rule_says():
    heavy, thin = THIN_WALL["4 mm2"], THIN_WALL["0.5 mm2"]
    at = (heavy.diameter_mm + thin.diameter_mm) / 2
    middle = Disc(0.0, 0.0, heavy.diameter_mm, heavy.conductor_mm, 8.0)
    ring = [Disc(x, y, thin.diameter_mm, thin.conductor_mm, 0.2) for x, y in rings((0, 9), at)]
    shifted = [replace(disc, x=disc.x + 0.2 * at) for disc in (middle, *ring)]
    across = heavy.diameter_mm + 2 * thin.diameter_mm + 0.4 * at
    found = hottest_rise_k(shifted, across, AMBIENT_C, 0.1)
    assert found < rise_k([heavy] + [thin] * 9, [8.0] + [0.2] * 9)


def test_the_grid_of_differences_is_fine_enough():
    wire = THIN_WALL["1.5 mm2"]
    discs = [Disc(x, y, wire.diameter_mm, wire.conductor_mm, 2.0) for x, y in rings((1, 6), wire.diameter_mm)]
    coarse, fine = (hottest_rise_k(discs, 3 * wire.diameter_mm, AMBIENT_C, wire.diameter_mm / n) for n in (16, 32))
    assert coarse == pytest.approx(fine, rel=0.02)


@given(st.sampled_from(list(THIN_WALL.values())), st.floats(-20.0, 90.0), st.floats(0.0, 4000.0))
def test_a_bundle_that_spreads_its_heat_at_once_is_the_single_wire(wire: Wire, ambient: float, altitude: float):
    """All that differs from one wire's balance is the way through the body."""
    free = free_heat_w_m(wire.diameter_mm, ambient, wire.insulation_c, altitude)
    surface = wire.insulation_c - free / (4.0 * pi * BUNDLE_W_M_K)
    leaving = leaving_w_m(wire.diameter_mm * 1e-3, surface, ambient, pressure_pa(altitude))
    assert leaving == pytest.approx(free, rel=1e-6)


@given(WIRES, st.floats(20.0, 70.0))
def test_more_current_a_higher_trip_and_a_warmer_place_never_leave_more_room(wires: list[BundledWire], ambient: float):
    around = Surroundings(ambient, 100.0, allowance=ALLOWANCE)
    excess = bundle_heat(wires, around).excess_w_m
    first, rest = wires[0], wires[1:]
    more = replace(first, current_a=min(first.trip_a, first.current_a + 1.0))
    assert bundle_heat([more, *rest], around).excess_w_m >= excess - 1e-9
    assert bundle_heat([replace(first, trip_a=first.trip_a + 1.0), *rest], around).excess_w_m >= excess - 1e-9
    assert bundle_heat(wires, replace(around, ambient_c=ambient + 5.0)).excess_w_m >= excess - 1e-9
    assert bundle_heat(wires, replace(around, allowance=0.7)).excess_w_m >= excess - 1e-9
    assert bundle_heat(wires, around, beside=True).excess_w_m >= excess - 1e-9


def test_every_wire_at_its_trip_alone_adds_what_it_gives_above_its_current():
    wire = THIN_WALL["1 mm2"]
    pair = [BundledWire(wire, 4.0, 10.0), BundledWire(wire, 2.0, 5.0)]
    found = bundle_heat(pair, Surroundings(40.0, 100.0, allowance=ALLOWANCE))
    ohm, across = resistance_ohm_m(wire, 100.0), sqrt(4.0 * square_mm2(wire))
    free = free_heat_w_m(across, 40.0, 100.0)
    assert found.heat_w_m == pytest.approx(ohm * (16.0 + 4.0))
    assert found.hottest == 0
    own = own_rise_k_m_w(wire, across) * ohm * 100.0 * free / 60.0
    assert found.worst_w_m == pytest.approx(ohm * (100.0 - 16.0) + own)
    assert found.allowed_w_m == pytest.approx(0.64 * free)
    assert found.excess_w_m == pytest.approx(found.heat_w_m + found.worst_w_m - found.allowed_w_m)


def test_nothing_may_be_given_off_at_or_above_the_class():
    assert free_heat_w_m(5.0, 100.0, 100.0) == 0.0
    around = Surroundings(110.0, 100.0)
    assert bundle_heat([BundledWire(THIN_WALL["1 mm2"], 1.0, 2.0)] * 2, around).excess_w_m > 0.0


def test_the_rule_for_a_wire_alone_is_not_far_from_its_own_balance():
    """One wire at its ampacity, taken as a bundle of one: its body counted as insulation and not as copper."""
    for wire in THIN_WALL.values():
        alone = ampacity_a(wire, 40.0) ** 2 * resistance_ohm_m(wire, wire.insulation_c)
        assert 0.5 * alone < free_heat_w_m(wire.diameter_mm, 40.0, wire.insulation_c) < 1.05 * alone


def test_two_alike_wires_fill_the_circle_that_is_reckoned_with():
    wire = THIN_WALL["1 mm2"]
    assert bundle_diameter_mm([wire]) == wire.diameter_mm
    # squares are rounded to 0.01 mm2, which is 0.0012 mm of the diameter here
    assert bundle_diameter_mm([wire, wire]) == pytest.approx(2.0 * wire.diameter_mm, rel=1e-3)
    assert bundle_diameter_mm([wire] * 8) == pytest.approx(sqrt(16.0) * wire.diameter_mm, rel=1e-3)


TABLES = ("metric-thin-wall", "awg", "metric-battery-cable", "awg-battery-cable")
CLASSES_C = (75.0, 90.0, 100.0, 105.0, 125.0, 150.0, 200.0)
PLACES = st.builds(
    lambda limit, below, altitude, allowance: Surroundings(limit - below, limit, altitude, allowance),
    st.sampled_from(CLASSES_C),
    st.floats(0.5, 150.0),
    st.floats(0.0, 9000.0),
    st.floats(0.3, 1.0),
)
STEPS = st.integers(50, 400_000)
"""Squares of a bundle in steps of 0.01 mm2: from half a square millimetre to a bundle of 90 mm."""


@settings(max_examples=300, deadline=None)
@given(PLACES, STEPS, STEPS, st.floats(0.01, 0.99))
def test_what_a_bundle_may_give_bends_down_over_its_squares(around: Surroundings, one: int, other: int, share: float):
    """A chord lies on or below it: then a tangent lies on or above, and a row that is one holds for every bundle."""
    low, high = sorted((one, other))
    between = round(low + share * (high - low))
    part = (between - low) / (high - low) if high > low else 0.0
    free = [around.free_w_m(n * SQUARES_STEP_MM2) for n in (low, between, high)]
    assert free[0] + part * (free[2] - free[0]) <= free[1] * (1.0 + TOLERANCE / 100)


@settings(max_examples=300, deadline=None)
@given(PLACES, STEPS, STEPS)
def test_the_line_through_what_a_bundle_may_give_is_never_below_it(around: Surroundings, at: int, other: int):
    step = SQUARES_STEP_MM2
    line = around.free_w_m(at * step) + around.slope_w_m(at * step) * (other - at) * step
    assert around.free_w_m(other * step) <= line + TOLERANCE / 10 * around.free_w_m(at * step)


@settings(max_examples=200, deadline=None)
@given(PLACES, st.sampled_from(list(THIN_WALL.values())), st.floats(0.0, 20.0), STEPS, STEPS)
def test_the_thicker_a_bundle_the_more_a_wire_adds_at_its_trip(
    around: Surroundings, wire: Wire, current: float, one: int, other: int
):
    own = BundledWire(wire, current, 20.0)
    less, more = (around.added_w_m(own, n * SQUARES_STEP_MM2) for n in sorted((one, other)))
    assert less <= more + 1e-9


@settings(max_examples=200, deadline=None)
@given(PLACES, STEPS)
def test_a_bundle_at_what_it_may_give_is_no_warmer_than_drops_are_taken_at(around: Surroundings, steps: int):
    """The allowance in current to the power 1.5 of the rise to the class."""
    squares = steps * SQUARES_STEP_MM2
    heat = around.allowed_w_m(squares, beside=False)
    rise = body_rise_k(heat, squares, around.ambient_c, around.altitude_m)
    assert rise <= around.allowance**1.5 * (around.limit_c - around.ambient_c) * (1.0 + 1e-6)


@settings(max_examples=100, deadline=None)
@given(PLACES, st.sampled_from(list(THIN_WALL.values())))
def test_a_wire_beside_a_cable_is_cooler_than_its_class(around: Surroundings, wire: Wire):
    held = replace(wire, insulation_c=around.limit_c)
    alone = around.allowance * ampacity_a(held, around.ambient_c, around.altitude_m)
    assert beside_cable_a(wire, around) == pytest.approx(0.825 * alone)


def test_two_bundles_are_alike_or_differ_by_a_step():
    for name in TABLES:
        for wire in built_in(name):
            squares = square_mm2(wire)
            assert squares == pytest.approx(wire.diameter_mm**2 if wire.diameter_mm else squares, abs=SQUARES_STEP_MM2)
            assert round(squares / SQUARES_STEP_MM2) * SQUARES_STEP_MM2 == pytest.approx(squares, abs=1e-9)
