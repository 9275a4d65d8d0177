from __future__ import annotations

import pytest

from allocator.problem import Wire
from allocator.wiring import SPLICE_OHM, wire_drop_v, wire_ohm

WIRE = Wire(size="1 mm2", area_mm2=1.0, insulation_c=105.0, resistance_mohm_m=18.5)


def test_resistance_of_a_length() -> None:
    assert wire_ohm(WIRE, 4.0, 20.0) == pytest.approx(0.074)


def test_drop_is_taken_at_the_temperature_that_the_wire_runs_at() -> None:
    """A quarter of 16 A at 45 degC: half of the way to 105 degC."""
    assert wire_drop_v(WIRE, 4.0, 4.0, 16.0, 45.0) == pytest.approx(4 * 0.074 * (1 + 0.00393 * 55))


def test_no_current_drops_nothing() -> None:
    assert wire_drop_v(WIRE, 4.0, 0.0, 16.0, 45.0) == 0.0


def test_a_splice_is_half_a_milliohm() -> None:
    assert SPLICE_OHM == 0.0005
