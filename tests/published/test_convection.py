"""Natural convection against the published formula, a library and textbook examples."""

from __future__ import annotations

from math import pi

import ht
import pytest
from hypothesis import given
from hypothesis import strategies as st

from allocator.wiring.air import KELVIN, convected_w_m, nusselt
from allocator.wiring.ampacity import STEFAN_BOLTZMANN_W_M2_K4
from tests.published.tables import rows


@pytest.mark.parametrize("row", rows("convection"), ids=lambda row: f"Ra {row['Ra']}")
def test_churchill_and_chu(row: dict[str, str]) -> None:
    """Computed from the formula; Ra 1.8e9 is a textbook example in a docstring of ``ht`` (seen)."""
    assert nusselt(float(row["Ra"]), float(row["Pr"])) == pytest.approx(float(row["Nu"]), rel=1e-6)


@given(st.floats(1e-3, 1e9), st.floats(0.6, 0.8))
def test_the_library_ht_gives_the_same(rayleigh: float, prandtl: float) -> None:
    """``ht.Nu_horizontal_cylinder_Churchill_Chu`` takes the Grashof number, Ra / Pr."""
    theirs = ht.Nu_horizontal_cylinder_Churchill_Chu(Pr=prandtl, Gr=rayleigh / prandtl)
    assert nusselt(rayleigh, prandtl) == pytest.approx(theirs, rel=1e-12)


def test_a_textbook_pipe_convects_and_radiates() -> None:
    """Incropera Example 9.4 (memory): 0.1 m pipe at 165 degC in 23 degC, emissivity 0.85: 325 + 441 W/m.

    The book rounds its Nusselt number up (23.3 for 23.09): 1.5 % on the convected part.
    """
    assert nusselt(5.073e6, 0.697) == pytest.approx(23.09, abs=0.01)
    assert convected_w_m(0.1, 165.0, 23.0, 101325.0) == pytest.approx(325, rel=0.015)
    radiated = 0.85 * STEFAN_BOLTZMANN_W_M2_K4 * pi * 0.1 * ((165 + KELVIN) ** 4 - (23 + KELVIN) ** 4)
    assert radiated == pytest.approx(441, rel=2e-3)


def test_stefan_boltzmann() -> None:
    """CODATA 2018 (memory)."""
    assert STEFAN_BOLTZMANN_W_M2_K4 == 5.670374419e-8
