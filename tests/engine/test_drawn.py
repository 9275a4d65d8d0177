"""The engine against two oracles that share no code with it, and its check against spoilt layouts.

``python -m benchmarks.drawn`` runs as many draws as asked. Direct loads and given wires are known to the oracle by
CP-SAT alone.
"""

from __future__ import annotations

import pytest

from allocator.problem import Problem
from allocator.search.solve import solve
from tests.engine.agreement import Tally, agrees, compare, compare_crowded, compare_losing
from tests.engine.damages import DAMAGES
from tests.engine.draws import ALL, BESIDE, SINGLE, SMALL, TINY, Size, draw
from tests.oracle import least_by_cp_sat

CHUNKS = [
    pytest.param(TINY, SINGLE, range(30), True, id="tiny, single loads"),
    pytest.param(TINY, ALL, range(50), True, id="tiny, every feature, first"),
    pytest.param(TINY, ALL, range(200, 250), True, id="tiny, every feature, second"),
    pytest.param(SMALL, SINGLE, range(24), False, id="small, single loads"),
    pytest.param(SMALL, ALL, range(20), False, id="small, every feature, first"),
    pytest.param(SMALL, ALL, range(100, 124), False, id="small, every feature, second"),
    pytest.param(TINY, ALL | {"peaks", "starts"}, range(40), True, id="tiny, starts"),
    pytest.param(TINY, ALL | BESIDE, range(60), False, id="tiny, starts and other wires"),
    pytest.param(SMALL, ALL | BESIDE, range(30, 52), False, id="small, starts and other wires"),
]


@pytest.mark.parametrize(("size", "features", "seeds", "try_all"), CHUNKS)
def test_the_engine_and_the_oracles_find_the_same_least_objective(
    size: Size, features: frozenset[str], seeds: range, try_all: bool
) -> None:
    tally = Tally()
    for seed in seeds:
        tally.add(compare(seed, size, features, try_all=try_all, damage=False))
    assert tally.faults == []
    assert tally.share >= 0.4


SLOW = (22, 43, 51, 65, 86, 103, 114, 118)
"""Draws on which CP-SAT needs seconds each; ``python -m benchmarks.drawn 120 --first 0 --bundles`` has them too."""


@pytest.mark.parametrize("first", range(0, 120, 40))
def test_in_bundles_the_engine_and_the_oracle_find_the_same_least_objective(first: int) -> None:
    tally = Tally()
    for seed in range(first, first + 40):
        if seed not in SLOW:
            tally.add(compare_crowded(seed))
    assert tally.faults == []
    assert tally.ties <= 1
    assert tally.feasible >= 12
    assert tally.bundled / tally.feasible >= 0.25


def test_a_way_into_a_loaded_bundle_counts_as_one_round_it() -> None:
    """Where bundles are held by the table, one more wire raises what a bundle bears; this draw is lighter for it."""
    tally = compare_crowded(225)
    assert (tally.faults, tally.feasible) == ([], 1)


LOSING = [62, 162, 240, 245, 262, 320, 353, 372, 416, 424, 490, 493]
"""Draws in which the drops of the least layout count: without them another would be lighter.

Those on which CP-SAT needs long are left to ``python -m benchmarks.drawn 500 --first 0 --losing``.
"""


def test_where_warm_bundles_cost_too_many_volts_the_engine_and_the_oracle_find_the_same_least_objective() -> None:
    tally = Tally()
    for seed in LOSING:
        tally.add(compare_losing(seed))
    assert tally.faults == []
    assert tally.feasible == len(LOSING)
    assert tally.bundled >= len(LOSING) - 1


@pytest.mark.parametrize(
    ("size", "seed"),
    [
        pytest.param(TINY, 1000694, id="a pinned output takes the one that was to stay spare"),
        pytest.param(TINY, 1001198, id="the same, with other units to go to"),
        pytest.param(TINY, 1001788, id="the same, with sharing"),
        pytest.param(TINY, 9003586, id="alike loads of one output that return by unlike contacts"),
        pytest.param(SMALL, 9009267, id="a longer way that asks for better insulation and takes thinner wire"),
        pytest.param(SMALL, 1000949, id="a load whose branch does not cross the bulkhead that fails"),
    ],
)
def test_draws_that_once_showed_a_fault_agree(size: Size, seed: int) -> None:
    assert compare(seed, size, ALL, try_all=False, damage=True).faults == []


def test_the_check_takes_every_layout_and_refuses_it_after_each_damage() -> None:
    tally = Tally()
    for size in (TINY, SMALL):
        for seed in range(579, 589):
            tally.add(compare(seed, size, ALL, try_all=False, damage=True))
    assert tally.faults == []
    assert {name for name in DAMAGES if tally.damages[name] < 5} == set()


def test_an_answer_that_is_not_proven_or_not_the_least_does_not_agree() -> None:
    problem, least = _feasible()
    layout = solve(problem)
    assert agrees(layout, least)
    assert not agrees(layout, least + 0.01)
    assert not agrees(layout, None)


def _feasible() -> tuple[Problem, float]:
    for seed in range(20):
        problem = draw(seed, TINY, SINGLE)
        least = least_by_cp_sat(problem)
        if least is not None:
            return problem, least
    raise AssertionError("no draw of twenty has a layout")
