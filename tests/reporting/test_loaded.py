from __future__ import annotations

import pytest

from allocator.evaluation.prepare import prepare
from allocator.reporting.loaded import loaded_outputs
from tests.reporting.samples import LAYOUT, PROBLEM

OUTPUTS = {one.pin: one for one in loaded_outputs(prepare(PROBLEM, LAYOUT))}


def test_every_output_of_a_fitted_unit_is_there_and_none_of_others():
    assert len(OUTPUTS) == 9
    assert {one.unit for one in OUTPUTS.values()} == {"front"}


def test_the_rating_is_that_at_the_site():
    # 65 degC is halfway from 50 degC (all) to 80 degC (half): three quarters of 18 A
    assert OUTPUTS["H1"].rating_a == pytest.approx(13.5)


def test_outputs_in_parallel_have_a_part_each_and_may_be_used_less():
    assert OUTPUTS["H1"].full_a == pytest.approx(10.0)
    assert OUTPUTS["H1"].current_a == pytest.approx((10.0, 5.0))
    assert OUTPUTS["H1"].allowed_a == pytest.approx(13.5 * 0.8 * 0.9)


def test_each_output_of_a_bridge_pair_carries_all():
    assert OUTPUTS["H3"].full_a == OUTPUTS["H4"].full_a == pytest.approx(6.0)


def test_full_current_holds_the_spread_and_the_current_of_a_condition_does_not():
    assert OUTPUTS["S1"].full_a == pytest.approx(4.4)
    assert OUTPUTS["S1"].current_a == pytest.approx((4.0, 0.0))


def test_idle_outputs_are_spare_or_unused():
    assert {pin: one.state for pin, one in OUTPUTS.items() if not one.feeds} == {"S4": "unused", "S5": "spare"}
