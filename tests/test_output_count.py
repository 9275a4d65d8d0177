from __future__ import annotations

import pytest

from allocator.output_count import OutputSteps, with_reserve

SIZES = OutputSteps(steps_a=(5.0, 10.0, 20.0), output_use=0.8, parallel_use=0.9)


@pytest.mark.parametrize(
    ("current_a", "rating_a", "outputs"),
    [
        (0.1, 5, 1),
        (4.0, 5, 1),
        (4.01, 10, 1),
        (16.0, 20, 1),
        (16.01, 20, 2),
        (28.8, 20, 2),  # 2 x 0.9 x 20 x 0.8
        (28.9, 20, 3),
        (43.2, 20, 3),
    ],
)
def test_the_least_step_that_carries_it_and_above_the_last_the_least_number(current_a, rating_a, outputs):
    assert SIZES.outputs(current_a) == (rating_a, outputs)


@pytest.mark.parametrize(
    ("count", "reserve", "asked"), [(0, 0.2, 0), (1, 0.2, 2), (5, 0.2, 6), (10, 0.1, 11), (7, 0, 7)]
)
def test_reserve_is_rounded_up(count, reserve, asked):
    assert with_reserve(count, reserve) == asked
