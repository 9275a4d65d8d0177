"""What is told before any search is true: on drawn problems every such fact means that the oracle finds no layout."""

from __future__ import annotations

import pytest

from allocator.options.evident_faults import with_evident_faults
from tests.engine.draws import ALL, BESIDE, SINGLE, SMALL, TINY, Size, draw, draw_crowded
from tests.oracle import least_by_cp_sat

CHUNKS = [
    pytest.param(TINY, SINGLE, range(60), id="tiny, single loads"),
    pytest.param(TINY, ALL, range(100), id="tiny, every feature"),
    pytest.param(TINY, ALL | BESIDE, range(60), id="tiny, starts and other wires"),
    pytest.param(SMALL, SINGLE, range(60), id="small, single loads"),
    pytest.param(SMALL, ALL, range(100), id="small, every feature"),
    pytest.param(SMALL, ALL | BESIDE, range(60), id="small, starts and other wires"),
]


@pytest.mark.parametrize(("size", "features", "seeds"), CHUNKS)
def test_what_is_evident_is_so(size: Size, features: frozenset[str], seeds: range) -> None:
    ruled_out = {seed: problem for seed in seeds if with_evident_faults(problem := draw(seed, size, features)).faults}
    assert len(ruled_out) >= len(seeds) // 10
    assert [seed for seed, problem in ruled_out.items() if least_by_cp_sat(problem) is not None] == []


def test_what_is_evident_in_bundles_is_so() -> None:
    ruled_out = {seed: problem for seed in range(60) if with_evident_faults(problem := draw_crowded(seed)).faults}
    assert len(ruled_out) >= 10
    assert [seed for seed, problem in ruled_out.items() if least_by_cp_sat(problem) is not None] == []
