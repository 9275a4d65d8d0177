from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from allocator.wiring.awg import CIRCULAR_MIL_MM2, gauge_area_mm2, gauge_diameter_mm, gauge_number


@pytest.mark.parametrize(
    ("size", "number"),
    [("24 AWG", 24), ("16", 16), ("8 awg", 8), ("1/0 AWG", 0), ("2/0", -1), ("4/0 AWG", -3)],
)
def test_a_size_has_its_number(size: str, number: int) -> None:
    assert gauge_number(size) == number


@pytest.mark.parametrize("size", ["", "AWG", "2.5 mm2", "2/1 AWG", "-3 AWG", "x/0", "1/ AWG"])
def test_what_is_no_size_is_refused(size: str) -> None:
    with pytest.raises(ValueError, match=r"is not a gauge size\. Write it like '16 AWG' or '2/0 AWG'\."):
        gauge_number(size)


def test_36_is_five_mils_and_4_0_is_460_mils() -> None:
    assert gauge_diameter_mm("36 AWG") == pytest.approx(0.127)
    assert gauge_diameter_mm("4/0 AWG") == pytest.approx(0.460 * 25.4)


@given(st.integers(1, 40))
def test_three_numbers_up_halve_the_area_nearly(number: int) -> None:
    assert gauge_area_mm2(str(number)) / gauge_area_mm2(str(number + 3)) == pytest.approx(2.005, abs=0.001)


def test_a_circular_mil_is_the_area_of_a_circle_of_one_mil() -> None:
    assert pytest.approx(5.067075e-4, rel=1e-6) == CIRCULAR_MIL_MM2
