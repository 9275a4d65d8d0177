"""Bundles solved by watching what is overfull: the same answer as the model that holds every number of wires."""

from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.bundling import bundled
from allocator.choosing import choose
from allocator.choosing.choose import INFEASIBLE, OPTIMAL
from allocator.problem import Problem
from allocator.search import Clock
from tests.choosing.cases import whole
from tests.engine.draws import ALL, SMALL, draw

FEW = replace(SMALL, loads=(3, 5), units=(1, 2))


def in_bundles(seed: int) -> Problem:
    drawn = draw(seed, FEW, ALL - {"straight"}, chance=0.2)
    return replace(drawn, margins=replace(drawn.margins, bundle=True, bundle_loading=1.0))


@pytest.mark.parametrize("first", range(0, 40, 10))
def test_the_answer_is_that_of_the_whole_model(first: int) -> None:
    solved = 0
    for seed in range(first, first + 10):
        problem = in_bundles(seed)
        if not problem.segments:
            continue
        exact = choose(whole(problem))
        found = bundled(problem, Clock(None), 0.0, None, None)
        assert found.choice.status == exact.status, seed
        assert found.choice.objective_g == pytest.approx(exact.objective_g), seed
        assert found.choice.status in (OPTIMAL, INFEASIBLE)
        solved += exact.status == OPTIMAL
    assert solved >= 2
