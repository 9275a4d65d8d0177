from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from allocator.wiring import bundle_factor, next_loading

LOADING = st.floats(0.01, 1.0)


@pytest.mark.parametrize("wires", [0, 1])
def test_one_wire_alone_keeps_its_ampacity(wires: int) -> None:
    assert bundle_factor(wires, 1.0) == 1.0


def test_the_table_is_read_at_its_rows() -> None:
    assert bundle_factor(2, 0.6) == 0.91
    assert bundle_factor(8, 0.6) == 0.595
    assert bundle_factor(19, 1.0) == 0.3425


def test_lines_between_rows_are_straight() -> None:
    assert bundle_factor(2.5, 0.6) == pytest.approx((0.91 + 0.815) / 2)
    assert bundle_factor(1.5, 0.2) == pytest.approx((1 + 0.9675) / 2)


@pytest.mark.parametrize(
    ("loading", "column"),
    [(0.01, 0.2), (0.2, 0.2), (0.21, 0.4), (0.6, 0.6), (0.1 + 0.2 + 0.3, 0.6), (0.61, 0.8), (1.0, 1.0)],
)
def test_a_loading_is_rounded_up_to_the_next_column(loading: float, column: float) -> None:
    assert next_loading(loading) == column
    assert bundle_factor(9, loading) == bundle_factor(9, column)


@pytest.mark.parametrize("loading", [0.0, -0.2, 1.01, float("nan")])
def test_a_loading_that_is_no_share_is_refused(loading: float) -> None:
    with pytest.raises(ValueError, match=r"is not above 0 and up to 1\. Give a share such as 0\.6\."):
        bundle_factor(5, loading)


def test_a_negative_number_of_wires_is_refused() -> None:
    with pytest.raises(ValueError, match="a bundle of -1 wires"):
        bundle_factor(-1, 0.6)


def test_beyond_the_table_the_bundle_gives_no_more_heat_than_19_wires() -> None:
    for wires in (20, 38, 100):
        assert wires * bundle_factor(wires, 0.6) ** 2 == pytest.approx(19 * bundle_factor(19, 0.6) ** 2)


def test_beyond_the_table_the_factor_falls_faster_than_at_its_end() -> None:
    """The exponent 1/2 is above the slope that the curves have over their last rows."""
    for loading in (0.2, 0.4, 0.6, 0.8, 1.0):
        assert bundle_factor(19, loading) > bundle_factor(15, loading) * (15 / 19) ** 0.5


@given(st.floats(1.0, 80.0), st.floats(1.0, 80.0), LOADING)
def test_more_wires_never_carry_more_each(one: float, other: float, loading: float) -> None:
    few, many = sorted((one, other))
    assert bundle_factor(many, loading) <= bundle_factor(few, loading)


@given(st.integers(1, 80), LOADING, LOADING)
def test_a_higher_loading_never_carries_more(wires: int, one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert bundle_factor(wires, high) <= bundle_factor(wires, low)
