from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import log, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from allocator.problem import Wire
from allocator.wiring import ampacity_a, resistance_ohm_m, running_temperature_c
from allocator.wiring.air import pressure_pa
from allocator.wiring.ampacity import leaving_w_m
from tests.published.tables import built_in

WIRE = Wire(size="2.5 mm2", area_mm2=2.5, insulation_c=105.0, conductor_mm=2.1, diameter_mm=2.9, resistance_mohm_m=7.6)
CELSIUS = st.floats(-40.0, 150.0)
METRES = st.floats(0.0, 6000.0)


def test_no_current_at_or_above_the_insulation_class() -> None:
    assert ampacity_a(WIRE, 105.0) == 0.0
    assert ampacity_a(WIRE, 140.0) == 0.0


@given(st.sampled_from(built_in("metric-thin-wall")), st.floats(-40.0, 80.0), METRES)
def test_heat_made_passes_the_wall_and_leaves_the_surface(wire: Wire, ambient: float, altitude: float) -> None:
    made = ampacity_a(wire, ambient, altitude) ** 2 * resistance_ohm_m(wire, wire.insulation_c)
    assert wire.diameter_mm is not None and wire.conductor_mm is not None
    surface = wire.insulation_c - made * log(wire.diameter_mm / wire.conductor_mm) / (2 * pi * 0.2)
    leaving = leaving_w_m(wire.diameter_mm * 1e-3, surface, ambient, pressure_pa(altitude))
    assert leaving == pytest.approx(made, rel=1e-6)


@given(st.floats(0.1, 200.0), CELSIUS, CELSIUS, METRES)
def test_a_hotter_ambient_never_carries_more(area: float, one: float, other: float, altitude: float) -> None:
    wire = Wire(size="x", area_mm2=area, insulation_c=125.0)
    cool, hot = sorted((one, other))
    assert ampacity_a(wire, hot, altitude) <= ampacity_a(wire, cool, altitude)


@given(st.floats(0.1, 200.0), st.floats(60.0, 260.0), st.floats(60.0, 260.0), CELSIUS)
def test_a_lower_class_never_carries_more(area: float, one: float, other: float, ambient: float) -> None:
    low, high = sorted((one, other))
    wire = Wire(size="x", area_mm2=area, insulation_c=low)
    assert ampacity_a(wire, ambient) <= ampacity_a(replace(wire, insulation_c=high), ambient) * (1 + 1e-12)


@given(st.floats(0.1, 200.0), st.floats(1.001, 3.0), st.floats(-40.0, 120.0))
def test_more_copper_carries_more(area: float, times: float, ambient: float) -> None:
    wire = Wire(size="x", area_mm2=area, insulation_c=125.0)
    assert ampacity_a(wire, ambient) < ampacity_a(replace(wire, area_mm2=area * times), ambient)


@given(st.sampled_from(["metric-thin-wall", "metric-battery-cable", "awg", "awg-battery-cable"]), CELSIUS, METRES)
def test_in_every_built_in_table_a_larger_size_carries_no_less(name: str, ambient: float, altitude: float) -> None:
    wires = built_in(name)
    for small, large in pairwise(wires):
        if small.insulation_c == large.insulation_c:
            assert small.area_mm2 < large.area_mm2
            assert ampacity_a(small, ambient, altitude) <= ampacity_a(large, ambient, altitude)


@given(CELSIUS, METRES, METRES)
def test_thinner_air_never_carries_more(ambient: float, one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert ampacity_a(WIRE, ambient, high) <= ampacity_a(WIRE, ambient, low)


def test_the_same_question_is_answered_from_memory() -> None:
    ampacity_a(WIRE, 41.0)
    hits = ampacity_a.cache_info().hits
    ampacity_a(replace(WIRE), 41.0)
    assert ampacity_a.cache_info().hits == hits + 1


def test_running_temperature_at_no_current_and_at_the_ampacity() -> None:
    assert running_temperature_c(0.0, 30.0, 40.0, 105.0) == 40.0
    assert running_temperature_c(30.0, 30.0, 40.0, 105.0) == 105.0
    assert running_temperature_c(7.5, 30.0, 40.0, 105.0) == pytest.approx(40 + 65 / 2)


def test_running_temperature_never_passes_the_limit() -> None:
    assert running_temperature_c(50.0, 30.0, 40.0, 105.0) == 105.0
    assert running_temperature_c(1.0, 0.0, 40.0, 105.0) == 105.0


@given(st.floats(1e-3, 1.0), st.floats(1.0, 100.0))
def test_the_formula_runs_no_cooler_than_the_heat_balance(share: float, ambient: float) -> None:
    """At the estimated temperature the wire would give off at least the heat that the current makes."""
    limit = ampacity_a(WIRE, ambient)
    estimated = running_temperature_c(share * limit, limit, ambient, WIRE.insulation_c)
    assert ampacity_a(replace(WIRE, insulation_c=estimated), ambient) >= share * limit * (1 - 1e-9)
