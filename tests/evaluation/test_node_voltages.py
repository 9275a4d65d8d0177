from __future__ import annotations

from collections.abc import Iterable
from random import Random

import numpy as np
import pytest

from allocator.evaluation.node_voltages import voltages


def linked(count: int, resistances: Iterable[tuple[int, int, float]]) -> dict[int, dict[int, float]]:
    links: dict[int, dict[int, float]] = {n: {} for n in range(count)}
    for a, b, ohm in resistances:
        links[a][b] = links[b][a] = links[a].get(b, 0.0) + 1.0 / ohm
    return links


def test_a_current_through_a_resistance():
    assert voltages(linked(2, [(0, 1, 0.05)]), {1: [2.0, 0.0]}, {0}) == {0: [0.0, 0.0], 1: [pytest.approx(0.1), 0.0]}


def test_two_ways_in_parallel_divide_the_current():
    links = linked(3, [(0, 1, 0.010), (0, 2, 0.010), (2, 1, 0.020)])
    assert voltages(links, {1: [4.0]}, {0})[1] == pytest.approx([4.0 * 0.0075])


def test_a_bridge_of_resistances_that_no_series_and_parallel_make():
    """All of 1 ohm, but the one across of 5: by symmetry nothing flows there."""
    links = linked(4, [(0, 1, 1.0), (0, 2, 1.0), (1, 3, 1.0), (2, 3, 1.0), (1, 2, 5.0)])
    found = voltages(links, {3: [1.0]}, {0})
    assert [found[n][0] for n in (1, 2, 3)] == pytest.approx([0.5, 0.5, 1.0])


@pytest.mark.parametrize("seed", range(30))
def test_any_network_against_a_dense_solve(seed):
    rng = Random(seed)
    count = rng.randint(3, 40)
    joins = [(rng.randrange(n), n, 10 ** rng.uniform(-3, 1)) for n in range(1, count)]
    joins += [(*rng.sample(range(count), 2), 10 ** rng.uniform(-3, 1)) for _ in range(rng.randint(0, 20))]
    held = {0, *rng.sample(range(count), rng.randint(0, 2))}
    links = linked(count, joins)
    drawn = {n: [rng.uniform(0.0, 20.0) for _ in range(3)] for n in range(count) if rng.random() < 0.7}
    found = voltages(links, drawn, held)

    law = np.array([[sum(links[a].values()) if a == b else -links[a].get(b, 0.0) for b in links] for a in links])
    free = [n for n in links if n not in held]
    right = np.array([drawn.get(n, [0.0] * 3) for n in free])
    assert np.array([found[n] for n in free]) == pytest.approx(np.linalg.solve(law[np.ix_(free, free)], right))
    assert all(found[n] == [0.0] * 3 for n in held)


def test_resistances_far_apart_cost_no_digits():
    """A microohm behind a megohm and the other way round, exact to the last digits."""
    links = linked(4, [(0, 1, 1e6), (1, 2, 1e-6), (2, 3, 1e6)])
    assert voltages(links, {3: [1.0]}, {0})[3] == pytest.approx([2e6 + 1e-6], rel=1e-15)
    links = linked(4, [(0, 1, 1e-6), (1, 2, 1e6), (2, 3, 1e-6)])
    assert voltages(links, {1: [1.0], 3: [1e-12]}, {0})[1] == pytest.approx([1e-6 * (1.0 + 1e-12)], rel=1e-15)


def test_what_is_given_is_left_alone():
    links, drawn = linked(3, [(0, 1, 1.0), (1, 2, 1.0)]), {2: [1.0]}
    voltages(links, drawn, {0})
    assert (links, drawn) == (linked(3, [(0, 1, 1.0), (1, 2, 1.0)]), {2: [1.0]})
