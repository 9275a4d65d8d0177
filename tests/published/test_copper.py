"""Copper: what the package takes, and what it was published as."""

from __future__ import annotations

import pytest

from allocator.problem import Wire
from allocator.wiring import copper_g, resistance_ohm_m

# annealed copper: 1/58 ohm mm2/m, IEC 60028:1925, seen in two documents
METRE = Wire(size="1 mm2", area_mm2=1.0, insulation_c=105.0, resistance_mohm_m=1000 / 58)


def test_temperature_coefficient() -> None:
    """0.00393 per K at 20 degC, constant mass; seen in a handbook table."""
    assert resistance_ohm_m(METRE, 21.0) == pytest.approx(1.00393 * resistance_ohm_m(METRE, 20.0), rel=1e-12)


def test_density() -> None:
    """8.89 g/cm3 at 20 degC: IEC 60028 and NBS Handbook 100; seen."""
    assert copper_g(METRE, 1.0) == 8.89


def test_mass_resistivity() -> None:
    """0.15328 ohm g/m2: NBS Circular 31 and Handbook 100; seen in two documents."""
    assert resistance_ohm_m(METRE, 20.0) * copper_g(METRE, 1.0) == pytest.approx(0.15328, rel=1e-4)


def test_zero_resistance_temperature() -> None:
    """-234.5 degC: AC 43.13-1B paragraph 11-66; seen. 0.00393 puts it at -234.45."""
    assert resistance_ohm_m(METRE, -234.5) == pytest.approx(0.0, abs=5e-6)


@pytest.mark.parametrize("celsius", [-40.0, 0.0, 50.0, 75.0, 105.0, 150.0, 182.0, 200.0])
def test_resistance_at_a_temperature(celsius: float) -> None:
    """R proportional to 234.5 + T: AC 43.13-1B paragraph 11-66; seen. At 105 degC: 1.3340 (computed)."""
    ratio = resistance_ohm_m(METRE, celsius) / resistance_ohm_m(METRE, 20.0)
    assert ratio == pytest.approx((234.5 + celsius) / 254.5, rel=3e-4)
    if celsius == 105.0:
        assert ratio == pytest.approx(1.3340, abs=1e-4)
