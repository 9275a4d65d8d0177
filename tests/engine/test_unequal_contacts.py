"""Contact sets of one bulkhead that differ in resistance, which the oracle takes alike only."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from random import Random

import pytest

from allocator.checking import check
from allocator.layout import INFEASIBLE, OPTIMAL
from allocator.problem import Bulkhead, Problem
from allocator.search.solve import solve
from tests.engine.draws import SMALL, draw
from tests.oracle.model import least_by_cp_sat

FEATURES = frozenset({"bulkheads", "share", "parallel", "bridge", "returns", "functions", "capabilities"})
LOW_OHM, HIGH_OHM = 0.002, 0.031


def with_resistances(problem: Problem, ohm: Callable[[Bulkhead, int], float]) -> Problem:
    bulkheads = tuple(
        replace(b, contacts=tuple(replace(c, resistance_ohm=ohm(b, n)) for n, c in enumerate(b.contacts)))
        for b in problem.bulkheads
    )
    return replace(problem, bulkheads=bulkheads)


def with_twin_sets(problem: Problem) -> Problem:
    """Every contact set in two halves, so that each wire has a choice of resistance."""
    bulkheads = []
    for bulkhead in problem.bulkheads:
        halves = [(c, n) for c in bulkhead.contacts for n in (c.count // 2, c.count - c.count // 2) if n]
        bulkheads.append(replace(bulkhead, contacts=tuple(replace(c, count=n) for c, n in halves)))
    return replace(problem, bulkheads=tuple(bulkheads))


def crossed(first: int, count: int) -> list[Problem]:
    drawn = (with_twin_sets(draw(seed, SMALL, FEATURES, chance=0.7)) for seed in range(first, first + 4 * count))
    return [p for p in drawn if any(len(b.contacts) > 1 for b in p.bulkheads)][:count]


@pytest.mark.parametrize("first", range(7_000_000, 7_000_600, 100))
def test_the_least_lies_between_all_contacts_at_their_best_and_all_at_their_worst(first: int) -> None:
    for number, problem in enumerate(crossed(first, 7)):
        random = Random(first + number)
        mixed = solve(with_resistances(problem, lambda _b, _n, r=random: r.choice((LOW_OHM, HIGH_OHM))))  # type: ignore[misc]
        best = least_by_cp_sat(with_resistances(problem, lambda _b, _n: LOW_OHM))
        worst = least_by_cp_sat(with_resistances(problem, lambda _b, _n: HIGH_OHM))
        if mixed.status == INFEASIBLE:
            assert worst is None
        else:
            assert mixed.status == OPTIMAL
            assert best is not None
            assert best - 1e-3 <= (mixed.objective_g or 0.0) <= (float("inf") if worst is None else worst) + 1e-3


def test_some_of_the_draws_are_told_apart_by_their_contacts() -> None:
    told_apart = 0
    for problem in crossed(7_000_000, 40):
        best = solve(with_resistances(problem, lambda _b, _n: LOW_OHM))
        worst = solve(with_resistances(problem, lambda _b, _n: HIGH_OHM))
        told_apart += best.objective_g != worst.objective_g
    assert told_apart >= 3


def test_a_drop_is_stated_over_the_contacts_that_were_dealt() -> None:
    for problem in crossed(7_100_000, 10):
        uneven = with_resistances(problem, lambda _b, n: HIGH_OHM if n % 2 else LOW_OHM)
        layout = solve(uneven)
        if layout.status == OPTIMAL:
            assert check(uneven, layout).clean
