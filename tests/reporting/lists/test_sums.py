"""Every list opened again with pandas and summed: totals equal the layout file (the demonstrations: tests/problems)."""

from __future__ import annotations

import pytest

from allocator.checking import check
from allocator.layout import OPTIMAL
from allocator.problem import Bundling
from allocator.reading import read_problem
from allocator.search.solve import solve
from tests.cli.example import write_example
from tests.engine.draws import SMALL, draw
from tests.reporting.lists.opened import assert_sums
from tests.reporting.lists.samples import LAYOUT, PROBLEM, with_gland, with_two_walls


def test_the_sample_has_every_feature_and_breaks_no_rule():
    assert check(PROBLEM, LAYOUT).clean
    circuits = {circuit.name: circuit for circuit in LAYOUT.circuits}
    assert len(circuits["heater"].pins) == 2 == len(circuits["winch"].pins)
    assert circuits["lamp spot"].splices
    assert LAYOUT.direct and LAYOUT.given and PROBLEM.margins.bundle is not Bundling.NONE


@pytest.mark.parametrize(
    "make", [lambda: (PROBLEM, LAYOUT), with_gland, with_two_walls], ids=["connector", "gland", "two connectors"]
)
def test_lists_sum_up_to_the_layout(make):
    assert_sums(*make())


@pytest.mark.parametrize("seed", [8, 12, 14, 17, 21, 23, 26])
def test_lists_of_drawn_problems_sum_up(seed):
    """Measured runs through connectors, no segments at all, splices, parallel outputs and bridges."""
    problem = draw(seed, SMALL, chance=0.6)
    layout = solve(problem)
    assert layout.status == OPTIMAL
    assert_sums(problem, layout)


def test_lists_of_the_worked_example_sum_up(tmp_path):
    problem = read_problem(write_example(tmp_path))
    assert_sums(problem, solve(problem))
