"""A known layout as a first choice: the choice that makes it again, or none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.assembling import assemble
from allocator.choosing import Choice, choose
from allocator.layout import FEASIBLE, OPTIMAL, Layout
from allocator.pricing import Pricing, price
from allocator.starting import choice_from
from tests.choosing.cases import FITS, problem
from tests.engine.draws import ALL, SMALL, draw

CASES = ("enough_outputs.bridge", "enough_outputs.shared", "spare_outputs", "units_of_a_kind.always", "together")


def chosen(case: str) -> tuple[Pricing, Choice, Layout]:
    pricing = price(problem(case, FITS))
    choice = choose(pricing)
    return pricing, choice, assemble(pricing, choice)


def grams(pricing: Pricing, choice: Choice) -> float:
    """Copper and splices of the circuits of a choice."""
    return round(sum(n * pricing.options[o].plan.price_g for o, n in choice.options), 3)


@pytest.mark.parametrize("case", CASES)
def test_a_layout_becomes_the_choice_that_it_was_made_of(case: str) -> None:
    pricing, choice, layout = chosen(case)
    again = choice_from(pricing, layout)
    assert again is not None
    assert (again.status, again.options, again.slots) == (FEASIBLE, choice.options, choice.slots)
    assert again.spare == choice.spare


@pytest.mark.parametrize("case", CASES)
def test_a_layout_read_from_its_file_will_do(case: str) -> None:
    pricing, _, layout = chosen(case)
    assert choice_from(pricing, Layout.from_json(layout.to_json())) == choice_from(pricing, layout)


def test_the_layouts_of_drawn_problems_become_choices_worth_the_same() -> None:
    compared = 0
    for seed in range(40):
        pricing = price(draw(seed, SMALL, ALL))
        choice = choose(pricing)
        if choice.status != OPTIMAL:
            continue
        again = choice_from(pricing, assemble(pricing, choice))
        assert again is not None
        assert grams(pricing, again) == grams(pricing, choice)
        assert len(again.slots) == len(choice.slots)
        compared += 1
    assert compared >= 15


def test_a_layout_that_is_not_listed_is_left_aside() -> None:
    pricing, _, layout = chosen("enough_outputs.shared")
    unit, circuit = layout.units[0], layout.circuits[0]
    spoilt = {
        "a site that the unit may not take": replace(layout, units=(replace(unit, site="nose"),)),
        "a unit that there is not": replace(layout, units=(replace(unit, name="none such"),)),
        "a unit twice": replace(layout, units=(unit, unit)),
        "a circuit of a unit that is not fitted": replace(layout, units=()),
        "a load that there is not": replace(layout, circuits=(replace(circuit, loads=("none such",)),)),
        "loads that no output carries": replace(
            layout, circuits=(replace(circuit, loads=tuple(pricing.problem.load)),)
        ),
        "outputs too many": replace(layout, circuits=(replace(circuit, pins=("1", "2")),)),
    }
    assert {name: choice_from(pricing, layout) for name, layout in spoilt.items()} == dict.fromkeys(spoilt)
