from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from allocator.problem import Wire, WireTable
from allocator.wiring import completed, copper_g, of_class, resistance_ohm_m, wire_g

BARE = Wire(size="2.5 mm2", area_mm2=2.5, insulation_c=105.0)
GIVEN = replace(BARE, conductor_mm=2.1, diameter_mm=2.9, resistance_mohm_m=7.6, mass_g_m=25.0)


def test_resistance_grows_with_temperature_from_its_value_at_20() -> None:
    assert resistance_ohm_m(GIVEN, 20.0) == pytest.approx(7.6e-3)
    assert resistance_ohm_m(GIVEN, 120.0) == pytest.approx(7.6e-3 * 1.393)


def test_copper_is_area_times_length_times_density_times_lay() -> None:
    assert copper_g(GIVEN, 2.0) == 44.45
    assert copper_g(replace(GIVEN, lay=1.02), 2.0) == 45.339


def test_copper_is_rounded_to_a_milligram() -> None:
    assert copper_g(GIVEN, 0.12345) == 2.744


def test_finished_wire_is_its_mass_times_length() -> None:
    assert wire_g(GIVEN, 1.5) == 37.5


def test_a_wire_that_is_given_in_full_is_left_as_it_is() -> None:
    assert completed(GIVEN) == GIVEN


def test_absent_figures_follow_from_the_area() -> None:
    wire = completed(BARE)
    assert wire.resistance_mohm_m == pytest.approx(20 / 2.5)
    assert wire.conductor_mm == pytest.approx((4 * 2.5 / (pi * 0.66)) ** 0.5)
    assert wire.diameter_mm == pytest.approx(2.196 + 2 * (0.2 + 0.1 * 2.5**0.5), abs=1e-3)
    copper = 2.5 * 8.89
    assert wire.mass_g_m == pytest.approx(copper + 1.4 * pi / 4 * (2.9123**2 - 2.1961**2), abs=1e-3)


def test_only_the_absent_figures_are_computed() -> None:
    wire = completed(replace(BARE, resistance_mohm_m=7.6))
    assert wire.resistance_mohm_m == 7.6
    assert wire.diameter_mm == completed(BARE).diameter_mm


def test_a_computed_conductor_stays_inside_a_given_outer_diameter() -> None:
    assert completed(replace(BARE, diameter_mm=2.0)).conductor_mm == pytest.approx(1.9)


@given(st.floats(0.05, 300.0), st.floats(0.9903, 3.0))
def test_a_computed_conductor_holds_the_area_inside_any_outer_diameter(area: float, times: float) -> None:
    """Down to the diameter of the area itself, less what rounding may take off: the wire takes no other."""
    outer = times * (4 * area / pi) ** 0.5
    wire = completed(Wire(size="x", area_mm2=area, insulation_c=105.0, diameter_mm=outer))
    assert wire.conductor_mm is not None
    assert wire.conductor_mm < outer
    assert pi / 4 * wire.conductor_mm**2 >= area / 1.02 * (1 - 1e-12)


@given(st.floats(0.05, 300.0))
def test_every_computed_wire_is_possible(area: float) -> None:
    wire = completed(Wire(size="x", area_mm2=area, insulation_c=105.0))
    assert wire.conductor_mm is not None and wire.diameter_mm is not None and wire.mass_g_m is not None
    assert area < pi / 4 * wire.conductor_mm**2
    assert wire.conductor_mm < wire.diameter_mm
    assert wire.mass_g_m > copper_g(wire, 1.0)


def table(*classes: float) -> WireTable:
    wires = [replace(GIVEN, size=f"{a} mm2", area_mm2=a, insulation_c=c) for a in (1.0, 2.5) for c in classes]
    return WireTable(name="t", wires=tuple(wires))


@pytest.mark.parametrize(
    ("asked", "taken"), [(20.0, 85.0), (85.0, 85.0), (85.1, 105.0), (105.0, 105.0), (125.0, 150.0)]
)
def test_rows_are_of_the_lowest_class_that_is_enough(asked: float, taken: float) -> None:
    wires = of_class(table(85.0, 105.0, 150.0), asked)
    assert [wire.area_mm2 for wire in wires] == [1.0, 2.5]
    assert {wire.insulation_c for wire in wires} == {taken}


def test_no_row_where_no_class_is_enough() -> None:
    assert of_class(table(85.0, 105.0), 125.0) == ()
