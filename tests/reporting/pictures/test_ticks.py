from __future__ import annotations

import pytest

from allocator.reporting.pictures.ticks import ticks


@pytest.mark.parametrize(
    ("low", "high", "most", "expected"),
    [
        (0.0, 1.08, 6, [0.0, 0.2, 0.4, 0.6, 0.8, 1.0]),
        (0.0, 1.08, 3, [0.0, 0.5, 1.0]),
        (0.0, 2.1, 6, [0.0, 0.5, 1.0, 1.5, 2.0]),
        (745.3, 756.1, 8, [746.0, 748.0, 750.0, 752.0, 754.0, 756.0]),
        (0.0, 1e6, 5, [0.0, 2e5, 4e5, 6e5, 8e5, 1e6]),
    ],
)
def test_ticks_are_round_and_no_more_than_asked(low, high, most, expected):
    assert ticks(low, high, most) == pytest.approx(expected)


@pytest.mark.parametrize(("low", "high"), [(25.5, 27.5), (3.5, 4.5), (0.0, 1.0), (10.0, 85.0)])
def test_counts_have_whole_ticks(low, high):
    found = ticks(low, high, 9, whole=True)
    assert found
    assert all(tick == int(tick) for tick in found)
