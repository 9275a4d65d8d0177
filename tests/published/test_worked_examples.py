"""Small worked examples of textbooks, typed in as numbers and solved through a problem folder.

All come from memory, so each optimum is found here once more by trying every assignment: the value that is
remembered, the value tried and the value of the engine have to be one.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf
from pathlib import Path

import pytest

from allocator.layout import INFEASIBLE, OPTIMAL
from allocator.reading import read_problem
from allocator.search.solve import solve
from tests.instances import Instance, bins, write

# every load of a graph colouring is of one unit of demand, and a colour is a bin that holds them all
PETERSEN = [
    *((n, (n + 1) % 5) for n in range(5)),
    *((5 + n, 5 + (n + 2) % 5) for n in range(5)),
    *((n, n + 5) for n in range(5)),
]
GROETZSCH = [
    *((n, (n + 1) % 5) for n in range(5)),
    *((5 + n, other) for n in range(5) for other in ((n - 1) % 5, (n + 1) % 5)),
    *((10, 5 + n) for n in range(5)),
]


def assignment(name: str, cost: list[list[float]]) -> Instance:
    """Each column of a cost matrix to one row, no row twice."""
    rows, columns = len(cost), len(cost[0])
    return Instance(name=name, capacity=[1] * rows, opening=[0.0] * rows, demand=[1] * columns, cost=cost)


EXAMPLES = [
    # the cleaners' example of many courses on the method of Kuhn 1955 (Naval Research Logistics Quarterly 2)
    (assignment("three cleaners", [[8, 4, 7], [5, 2, 3], [9, 4, 8]]), 15),
    # the assignment example in the guide of OR-Tools: five workers, four tasks
    (
        assignment(
            "five workers and four tasks",
            [[90, 80, 75, 70], [35, 85, 55, 65], [125, 95, 90, 95], [45, 110, 95, 115], [50, 100, 90, 100]],
        ),
        265,
    ),
    # the bin packing example in the guide of OR-Tools
    (bins("eleven items", [48, 30, 19, 36, 36, 27, 42, 42, 36, 24, 30], 100), 4),
    # the example of lower bounds in Martello and Toth 1990, Knapsack Problems, chapter 8: their sum asks for 3 bins
    (bins("nine items", [70, 60, 50, 33, 33, 33, 11, 7, 3], 100), 4),
    # items that first-fit decreasing packs in one bin more than is needed (a common exercise)
    (bins("first fit goes wrong", [44, 24, 24, 22, 21, 17, 8, 8, 6, 6], 60), 3),
    # chromatic numbers of two named graphs (Petersen 1898; Groetzsch 1959), which any book on graphs has
    (bins("Petersen graph", [1] * 10, 10, PETERSEN), 3),
    (bins("Groetzsch graph", [1] * 11, 11, GROETZSCH), 4),
]


@pytest.mark.parametrize(("instance", "remembered"), EXAMPLES, ids=[e.name for e, _ in EXAMPLES])
def test_the_engine_finds_the_optimum_of_a_worked_example(
    instance: Instance, remembered: float, tmp_path: Path
) -> None:
    layout = solve(read_problem(write(instance, tmp_path)))
    assert least(instance) == remembered
    assert (layout.status, layout.objective_g) == (OPTIMAL, remembered)
    assert instance.cost_of(layout) == remembered


def test_an_instance_with_a_customer_too_large_for_every_facility_has_no_layout(tmp_path: Path) -> None:
    small = replace(bins("two items", [7, 6], 10), capacity=[6])
    assert least(small) == inf
    assert solve(read_problem(write(small, tmp_path))).status == INFEASIBLE


def least(instance: Instance) -> float:
    """The least cost over all assignments, one customer after another; alike ones are at one place."""
    alike = instance.copies is not None
    count = instance.copies or len(instance.capacity)
    apart = {*instance.conflicts, *((b, a) for a, b in instance.conflicts)}
    best = inf

    def serve(customer: int, held: list[list[int]], cost: float) -> None:
        nonlocal best
        if cost >= best:
            return
        if customer == len(instance.demand):
            best = cost
            return
        for i in range(count):
            kind = 0 if alike else i
            demand = instance.demand[customer] + sum(instance.demand[j] for j in held[i])
            if demand <= instance.capacity[kind] and not any((j, customer) in apart for j in held[i]):
                opening = 0.0 if held[i] else instance.opening[kind]
                held[i].append(customer)
                serve(customer + 1, held, cost + opening + instance.cost[0 if alike else i][customer])
                held[i].pop()
            if alike and not held[i]:
                break

    serve(0, [[] for _ in range(count)], 0.0)
    return best
