from __future__ import annotations

import pytest

from allocator.wiring.air import conductivity_w_m_k, convected_w_m, nusselt, pressure_pa, viscosity_pa_s


def test_pressure_falls_with_altitude() -> None:
    assert pressure_pa(0.0) == 101325.0
    # US Standard Atmosphere 1976, 5000 m (memory)
    assert pressure_pa(5000.0) == pytest.approx(54020, rel=1e-3)


def test_an_altitude_outside_the_law_is_refused() -> None:
    with pytest.raises(ValueError, match="altitude 45000 m is above 44000 m"):
        pressure_pa(45_000.0)


def test_air_at_300_kelvin() -> None:
    # textbook tables of dry air (memory): 1.846e-5 Pa s, 0.0263 W/mK
    assert viscosity_pa_s(300.0) == pytest.approx(1.846e-5, rel=5e-3)
    assert conductivity_w_m_k(300.0) == pytest.approx(0.0263, rel=1e-2)


def test_nothing_is_convected_without_a_rise() -> None:
    assert convected_w_m(3e-3, 60.0, 60.0, 101325.0) == 0.0


def test_thin_air_and_a_small_rise_convect_less() -> None:
    most = convected_w_m(3e-3, 90.0, 40.0, 101325.0)
    assert convected_w_m(3e-3, 90.0, 40.0, 60000.0) < most
    assert convected_w_m(3e-3, 80.0, 40.0, 101325.0) < most


def test_a_hair_in_still_air_has_the_limit_of_the_formula() -> None:
    assert nusselt(0.0, 0.7) == pytest.approx(0.36)
