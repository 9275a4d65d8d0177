"""Short-circuit heat of copper wire."""

from __future__ import annotations

import pytest

from allocator.wiring import k_factor


@pytest.mark.parametrize(
    ("initial", "final", "printed"),
    [
        (70.0, 160.0, 115.0),  # IEC 60364-4-43 Table 43A: memory
        (90.0, 250.0, 143.0),  # IEC 60364-4-43 Table 43A: memory
        (90.0, 250.0, 143.1),  # computed
        (105.0, 160.0, 87.6),  # computed
        (125.0, 250.0, 123.5),  # computed
    ],
)
def test_k_factor(initial: float, final: float, printed: float) -> None:
    assert k_factor(initial, final) == pytest.approx(printed, abs=0.15)
