"""American Wire Gage against ASTM B258, and the areas that wire is sold with under its numbers."""

from __future__ import annotations

from math import pi

import pytest

from allocator.wiring.conductors import DENSITY_G_CM3
from tests.published.tables import CIRCULAR_MIL_MM2, built_in, gauge_mm2, rows


@pytest.mark.parametrize("row", rows("gauges"), ids=lambda row: row["size"])
def test_gauge_rule(row: dict[str, str]) -> None:
    """``data/gauges.csv``: inches and circular mils from 20 AWG seen in a printed table, the rest computed.

    Printed figures are rounded to 4 digits, some circular mils to 3.
    """
    area = gauge_mm2(row["size"])
    diameter = (4 * area / pi) ** 0.5
    assert diameter == pytest.approx(float(row["diameter [mm]"]), rel=2e-4)
    assert diameter / 25.4 == pytest.approx(float(row["diameter [in]"]), rel=6e-4)
    assert area == pytest.approx(float(row["area [mm2]"]), rel=1e-3)
    assert area / CIRCULAR_MIL_MM2 == pytest.approx(float(row["area [cmil]"]), rel=5e-3)
    assert 1000 / 58 / area == pytest.approx(float(row["resistance [ohm/km]"]), rel=1e-3)
    assert area * DENSITY_G_CM3 == pytest.approx(float(row["copper [g/m]"]), rel=1e-3)


@pytest.mark.parametrize("name", ["awg", "awg-battery-cable"])
def test_built_in_tables_have_the_areas_of_the_rule(name: str) -> None:
    for wire in built_in(name):
        assert wire.area_mm2 == pytest.approx(gauge_mm2(wire.size), rel=5e-4)


@pytest.mark.parametrize("row", rows("sae-areas"), ids=lambda row: row["size"])
def test_road_vehicle_wire_has_less_copper_than_its_number_says(row: dict[str, str]) -> None:
    """SAE J1127/J1128 least area: 2 to 11 % below the rule (seen). ABYC's least: within 3 % of the rule."""
    rule = gauge_mm2(row["size"]) / CIRCULAR_MIL_MM2
    assert 0.89 <= float(row["SAE area, least [cmil]"]) / rule <= 0.98
    assert float(row["AWG area of ABYC, least [cmil]"]) / rule == pytest.approx(1.0, abs=0.03)


@pytest.mark.parametrize("row", rows("sae-areas"), ids=lambda row: row["size"])
def test_built_in_resistance_covers_the_least_road_vehicle_area(row: dict[str, str]) -> None:
    """Wire bought by its number may be SAE wire: the built-in resistance is not below its least area's."""
    area = float(row["SAE area, least [cmil]"]) * CIRCULAR_MIL_MM2
    alike = [w for name in ("awg", "awg-battery-cable") for w in built_in(name) if w.size == row["size"]]
    assert alike
    for wire in alike:
        assert wire.resistance_mohm_m is not None
        assert wire.resistance_mohm_m >= 1000 / 58 / area * 1.0005
