from __future__ import annotations

import pytest

from allocator.problem import Wire
from allocator.wiring import k_factor, withstand_a2s
from allocator.wiring.short_circuit import final_temperature_c


def test_no_rise_holds_no_heat() -> None:
    assert k_factor(105.0, 105.0) == 0.0


def test_a_fall_is_refused() -> None:
    with pytest.raises(ValueError, match="final 90 degC is below initial 105 degC"):
        k_factor(105.0, 90.0)


def test_k_is_the_heat_that_copper_takes_up() -> None:
    """Small rise: k2 = heat capacity x rise / resistivity; 3.45 J/cm3K as in IEC 60949 (memory)."""
    heat = 3.45e6 * 1.0
    resistivity = 1.7241e-8 * (1 + 0.00393 * 0.5)
    assert k_factor(20.0, 21.0) * 1e6 == pytest.approx((heat / resistivity) ** 0.5, rel=2e-3)


def test_wires_above_class_105_may_get_hotter() -> None:
    assert (final_temperature_c(85.0), final_temperature_c(105.0), final_temperature_c(125.0)) == (
        160.0,
        160.0,
        250.0,
    )


def test_a_wire_withstands_k_times_area_squared() -> None:
    wire = Wire(size="1 mm2", area_mm2=1.0, insulation_c=105.0)
    assert withstand_a2s(wire) == pytest.approx(87.6**2, rel=1e-3)
    twice = Wire(size="2 mm2", area_mm2=2.0, insulation_c=105.0)
    assert withstand_a2s(twice) == pytest.approx(4 * withstand_a2s(wire))
