"""The solver on toy models: what is proven, what is impossible, what a limit leaves."""

from __future__ import annotations

from math import inf

import pytest

from allocator.model.model import Model
from allocator.model.rows import Row, at_least, at_most, equal
from allocator.model.solver import Progress, _Monitor, run
from tests.model.toys import Toy


def knapsack(values: list[int], weights: list[int], room: int) -> Model:
    """What to take for the most value: as a loss, so that it is minimised."""
    toy = Toy()
    columns = [toy.variables.add(f"x{n}") for n in range(len(values))]
    toy.hold(at_most("room", zip(columns, map(float, weights), strict=True), room))
    return toy.model(*((x, -float(value)) for x, value in zip(columns, values, strict=True)))


def test_a_knapsack_of_three_is_filled_by_its_best_pair() -> None:
    outcome = run(knapsack([60, 100, 120], [10, 20, 30], 50))
    assert [round(x) for x in outcome.values or ()] == [0, 1, 1]
    assert (outcome.proven, outcome.infeasible, outcome.interrupted) == (True, False, False)
    assert outcome.bound_g == pytest.approx(-220.0)


def test_all_three_senses_of_a_row_are_held() -> None:
    toy = Toy()
    a, b, c = (toy.variables.add(name, upper=None) for name in "abc")
    toy.hold(at_least("floor", [(a, 1.0)], 2.0))
    toy.hold(equal("sum", [(a, 1.0), (b, 1.0)], 5.0))
    toy.hold(at_most("roof", [(b, 1.0), (c, -1.0)], 1.0))
    outcome = run(toy.model((a, 3.0), (b, 1.0), (c, 1.0)))
    # b beyond 1 costs 1 + 1 for itself and c, a costs 3: as much b as the floor of a allows
    assert [round(x) for x in outcome.values or ()] == [2, 3, 2]


def test_a_column_that_need_not_be_whole_is_not() -> None:
    toy = Toy()
    whole, part = toy.variables.add("whole", None), toy.variables.add("part", None, integer=False)
    toy.hold(at_least("whole", [(whole, 2.0)], 3.0))
    toy.hold(at_least("part", [(part, 2.0)], 3.0))
    assert run(toy.model((whole, 1.0), (part, 1.0))).values == pytest.approx((2.0, 1.5))


def test_a_column_in_no_row_and_no_objective_keeps_its_place() -> None:
    toy = Toy()
    _, b = toy.variables.add("idle"), toy.variables.add("b")
    toy.hold(equal("b", [(b, 1.0)], 1.0))
    assert run(toy.model((b, 1.0))).values == pytest.approx((0.0, 1.0))


def test_rows_that_contradict_each_other_are_infeasible() -> None:
    toy = Toy()
    a = toy.variables.add("a", None)
    toy.hold(at_least("low", [(a, 1.0)], 2.0))
    toy.hold(at_most("high", [(a, 1.0)], 1.0))
    outcome = run(toy.model((a, 1.0)))
    assert (outcome.infeasible, outcome.values, outcome.proven) == (True, None, False)


@pytest.mark.parametrize(
    ("row", "infeasible"),
    [
        (at_most("r", [], -1.0), True),
        (at_most("r", [], 0.0), False),
        (at_least("r", [], 1.0), True),
        (at_least("r", [], 0.0), False),
        (equal("r", [], 1.0), True),
        (equal("r", [], -1.0), True),
        (equal("r", [], 0.0), False),
    ],
    ids=str,
)
def test_a_row_without_terms_holds_or_makes_all_impossible(row: Row, infeasible: bool) -> None:
    toy = Toy()
    a = toy.variables.add("a")
    toy.hold(row)
    assert run(toy.model((a, 1.0))).infeasible is infeasible


HARD = knapsack([n * n % 97 + n for n in range(1, 60)], [n * 37 % 89 + 5 for n in range(1, 60)], 500)


def test_without_time_nothing_is_claimed() -> None:
    outcome = run(HARD, time_limit_s=0.0)
    assert not outcome.proven
    assert not outcome.infeasible


def test_a_first_solution_does_not_change_the_optimum() -> None:
    fresh = run(HARD)
    nothing_taken = dict.fromkeys(range(59), 0.0)
    assert run(HARD, start=nothing_taken).bound_g == pytest.approx(fresh.bound_g)


def test_a_first_solution_that_is_none_is_left_aside() -> None:
    everything_taken = dict.fromkeys(range(59), 1.0)
    assert run(HARD, start=everything_taken).bound_g == pytest.approx(run(HARD).bound_g)


def test_the_same_model_gives_the_same_columns() -> None:
    assert run(HARD).values == run(HARD).values


def test_without_presolve_the_optimum_is_the_same() -> None:
    assert run(HARD, presolve=False).bound_g == pytest.approx(run(HARD).bound_g)


def test_nothing_is_printed(capfd: pytest.CaptureFixture[str]) -> None:
    run(HARD)
    assert capfd.readouterr() == ("", "")


def test_progress_needs_no_known_objective() -> None:
    assert Progress(None, 3.0, None, 0.1).gap is None


def test_without_a_solution_the_end_comes_sooner() -> None:
    """Time is left for saying why; once there is a solution, or one was given, all of it is searched."""
    monitor = _Monitor(None, 0.0, 10.0, inf, 4.0)
    assert not monitor.over(monitor.began + 5.9)
    assert monitor.over(monitor.began + 6.1)
    monitor.values = (1.0,)
    assert not monitor.over(monitor.began + 9.9)
    assert monitor.over(monitor.began + 10.1)


def test_no_more_than_half_of_the_time_is_kept_back() -> None:
    monitor = _Monitor(None, 0.0, 2.0, inf, 30.0)
    assert not monitor.over(monitor.began + 0.9)
    assert monitor.over(monitor.began + 1.1)
