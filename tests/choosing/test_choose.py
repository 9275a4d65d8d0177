"""What is said of a choice: its status against a bound, its parts, its figures."""

from __future__ import annotations

import pytest

from allocator.choosing import Choice, build, choose, held_against
from allocator.choosing.choose import values_of
from allocator.layout import FEASIBLE, INFEASIBLE, NOTHING_FOUND, OPTIMAL
from allocator.pricing import price
from tests.choosing.cases import FAILS, FITS, problem


def found(objective_g: float | None) -> Choice:
    return Choice(status=FEASIBLE, objective_g=objective_g)


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
    choice = held_against(found(objective_g), bound_g)
    assert (choice.status, choice.bound_g) == (status, kept_g)
    assert choice.gap == pytest.approx(gap)


def test_a_proven_choice_names_everything_that_was_chosen() -> None:
    pricing = price(problem("spare_outputs", FITS))
    choice = choose(pricing)
    assert (choice.status, choice.objective_g, choice.bound_g, choice.gap) == (OPTIMAL, 122.0, 122.0, 0.0)
    assert [n for _, n in choice.options] == [1]
    assert (choice.slots, choice.feeds) == ((0,), (0,))
    assert sum(n for _, _, n in choice.spare) == 1


def test_alike_loads_are_counted() -> None:
    choice = choose(price(problem("enough_outputs", FITS)))
    assert choice.options == ((0, 2),)


def test_what_is_impossible_has_no_parts() -> None:
    choice = choose(price(problem("enough_outputs", FAILS)))
    assert (choice.status, choice.options, choice.objective_g, choice.bound_g) == (INFEASIBLE, (), None, None)


def test_a_choice_holds_every_row_of_its_model() -> None:
    pricing = price(problem("enough_outputs.shared", FITS))
    model = build(pricing)
    values = values_of(model, choose(pricing))
    decided = [row for _, row in model.rows if all(variable.index in values for variable, _ in row.terms)]
    assert len(decided) >= 4
    for row in decided:
        left = sum(c * values[variable.index] for variable, c in row.terms)
        held = {"<=": left <= row.right, ">=": left >= row.right, "=": left == row.right}
        assert held[row.sense], str(row)
