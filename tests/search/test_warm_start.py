"""A warm start: the solution that makes a known layout again, or none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.assembly import assemble
from allocator.layout import FEASIBLE, OPTIMAL, Layout
from allocator.model import Solution, optimise
from allocator.options import OptionList, list_options
from allocator.search.warm_start import solution_from
from tests.engine.draws import ALL, SMALL, draw
from tests.model.cases import FITS, problem

CASES = ("enough_outputs.bridge", "enough_outputs.shared", "spare_outputs", "units_of_a_kind.always", "together")


def chosen(case: str) -> tuple[OptionList, Solution, Layout]:
    option_list = list_options(problem(case, FITS))
    solution = optimise(option_list)
    return option_list, solution, assemble(option_list, solution)


def grams(option_list: OptionList, solution: Solution) -> float:
    """Copper and splices of the circuits of a solution."""
    return round(sum(n * option_list.options[o].plan.price_g for o, n in solution.options), 3)


@pytest.mark.parametrize("case", CASES)
def test_a_layout_becomes_the_choice_that_it_was_made_of(case: str) -> None:
    option_list, solution, layout = chosen(case)
    again = solution_from(option_list, layout)
    assert again is not None
    assert (again.status, again.options, again.slots) == (FEASIBLE, solution.options, solution.slots)
    assert again.spare == solution.spare


@pytest.mark.parametrize("case", CASES)
def test_a_layout_read_from_its_file_will_do(case: str) -> None:
    option_list, _, layout = chosen(case)
    assert solution_from(option_list, Layout.from_json(layout.to_json())) == solution_from(option_list, layout)


def test_the_layouts_of_drawn_problems_become_choices_worth_the_same() -> None:
    compared = 0
    for seed in range(40):
        option_list = list_options(draw(seed, SMALL, ALL))
        solution = optimise(option_list)
        if solution.status != OPTIMAL:
            continue
        again = solution_from(option_list, assemble(option_list, solution))
        assert again is not None
        assert grams(option_list, again) == grams(option_list, solution)
        assert len(again.slots) == len(solution.slots)
        compared += 1
    assert compared >= 15


def test_a_layout_that_is_not_listed_is_left_aside() -> None:
    option_list, _, layout = chosen("enough_outputs.shared")
    unit, circuit = layout.units[0], layout.circuits[0]
    spoilt = {
        "a site that the unit may not take": replace(layout, units=(replace(unit, site="nose"),)),
        "a unit that there is not": replace(layout, units=(replace(unit, name="none such"),)),
        "a unit twice": replace(layout, units=(unit, unit)),
        "a circuit of a unit that is not fitted": replace(layout, units=()),
        "a load that there is not": replace(layout, circuits=(replace(circuit, loads=("none such",)),)),
        "loads that no output carries": replace(
            layout, circuits=(replace(circuit, loads=tuple(option_list.problem.load)),)
        ),
        "outputs too many": replace(layout, circuits=(replace(circuit, pins=("1", "2")),)),
    }
    assert {name: solution_from(option_list, layout) for name, layout in spoilt.items()} == dict.fromkeys(spoilt)
