"""What is said of a solution: its status against a bound, its parts, its figures."""

from __future__ import annotations

import pytest

from allocator.layout import FEASIBLE, INFEASIBLE, NOTHING_FOUND, OPTIMAL
from allocator.model import Solution, build, optimise, with_bound
from allocator.model.optimise import values_of
from allocator.options import list_options
from tests.model.cases import FAILS, FITS, problem


def found(objective_g: float | None) -> Solution:
    return Solution(status=FEASIBLE, objective_g=objective_g)


@pytest.mark.parametrize(
    ("objective_g", "bound_g", "status", "kept_g", "gap"),
    [
        (100.0, 100.0, OPTIMAL, 100.0, 0.0),
        (100.0, 99.9999995, OPTIMAL, 100.0, 0.0),
        (100.0, 100.0000005, OPTIMAL, 100.0, 0.0),
        (100.0, 99.0, FEASIBLE, 99.0, 0.01),
        (100.0, None, FEASIBLE, None, None),
        (None, 99.0, NOTHING_FOUND, 99.0, None),
        (None, None, NOTHING_FOUND, None, None),
    ],
)
def test_a_choice_is_held_against_a_bound(
    objective_g: float | None, bound_g: float | None, status: str, kept_g: float | None, gap: float | None
) -> None:
    solution = with_bound(found(objective_g), bound_g)
    assert (solution.status, solution.bound_g) == (status, kept_g)
    assert solution.gap == pytest.approx(gap)


def test_a_proven_choice_names_everything_that_was_chosen() -> None:
    option_list = list_options(problem("spare_outputs", FITS))
    solution = optimise(option_list)
    assert (solution.status, solution.objective_g, solution.bound_g, solution.gap) == (OPTIMAL, 122.0, 122.0, 0.0)
    assert [n for _, n in solution.options] == [1]
    assert (solution.slots, solution.feeds) == ((0,), (0,))
    assert sum(n for _, _, n in solution.spare) == 1


def test_alike_loads_are_counted() -> None:
    solution = optimise(list_options(problem("enough_outputs", FITS)))
    assert solution.options == ((0, 2),)


def test_what_is_impossible_has_no_parts() -> None:
    solution = optimise(list_options(problem("enough_outputs", FAILS)))
    assert (solution.status, solution.options, solution.objective_g, solution.bound_g) == (INFEASIBLE, (), None, None)


def test_a_choice_holds_every_row_of_its_model() -> None:
    option_list = list_options(problem("enough_outputs.shared", FITS))
    model = build(option_list)
    values = values_of(model, optimise(option_list))
    decided = [row for _, row in model.rows if all(variable.index in values for variable, _ in row.terms)]
    assert len(decided) >= 4
    for row in decided:
        left = sum(c * values[variable.index] for variable, c in row.terms)
        held = {"<=": left <= row.right, ">=": left >= row.right, "=": left == row.right}
        assert held[row.sense], str(row)
