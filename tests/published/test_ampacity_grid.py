"""The heat balance against the same balance programmed apart, point by point.

Tolerance 0.1 %: the printed currents have 3 to 4 digits, and two programs solve the same equations.
"""

from __future__ import annotations

from dataclasses import replace
from math import log, pi

import pytest

from allocator.problem import Wire
from allocator.wiring import ampacity_a, resistance_ohm_m
from allocator.wiring.air import convected_w_m
from tests.published.tables import rows


def grid_wire(row: dict[str, str]) -> Wire:
    return Wire(
        size=f"{row['area [mm2]']} mm2",
        area_mm2=float(row["area [mm2]"]),
        insulation_c=float(row["conductor [degC]"]),
        conductor_mm=float(row["conductor [mm]"]),
        diameter_mm=float(row["diameter [mm]"]),
        resistance_mohm_m=float(row["resistance [mohm/m]"]),
    )


@pytest.mark.parametrize(
    "row",
    rows("ampacity-grid"),
    ids=lambda row: f"{row['area [mm2]']} mm2 {row['ambient [degC]']} to {row['conductor [degC]']}",
)
def test_grid(row: dict[str, str]) -> None:
    """Current, surface temperature and convected heat (all computed)."""
    wire, ambient = grid_wire(row), float(row["ambient [degC]"])
    current = ampacity_a(wire, ambient)
    assert current == pytest.approx(float(row["current [A]"]), rel=1e-3)
    assert wire.diameter_mm is not None and wire.conductor_mm is not None
    heat = current**2 * resistance_ohm_m(wire, wire.insulation_c)
    surface = wire.insulation_c - heat * log(wire.diameter_mm / wire.conductor_mm) / (2 * pi * 0.2)
    assert surface == pytest.approx(float(row["surface [degC]"]), abs=0.1)
    convected = convected_w_m(wire.diameter_mm * 1e-3, surface, ambient, 101325.0)
    assert convected == pytest.approx(float(row["convected [W/m]"]), rel=6e-3)


THIN = Wire(size="2.5 mm2", area_mm2=2.5, insulation_c=105.0, conductor_mm=2.1, diameter_mm=2.9, resistance_mohm_m=7.6)


def test_altitude_takes_3_7_percent_at_3000_m() -> None:
    """2.5 mm2, 40 to 105 degC (computed)."""
    assert ampacity_a(THIN, 40.0, 3000.0) / ampacity_a(THIN, 40.0) == pytest.approx(1 - 0.037, abs=1e-3)


@pytest.mark.parametrize("times", [0.9, 1.1])
def test_outer_diameter_matters_little(times: float) -> None:
    """+-10 % of the diameter: +-2.2 % of the current (computed); diameters from memory are good enough."""
    other = replace(THIN, diameter_mm=2.9 * times)
    change = ampacity_a(other, 40.0) / ampacity_a(THIN, 40.0) - 1
    assert change == pytest.approx((times - 1) * 0.22, abs=2e-3)
