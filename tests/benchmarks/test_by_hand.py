"""A layout by hand is what a careful person makes: it keeps the rules, with wires no heavier than they must be."""

from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.checking import check
from allocator.layout import Layout
from allocator.problem import Fit, Function, Problem
from allocator.search.solve import solve
from benchmarks.by_hand import row
from benchmarks.careful import by_hand
from benchmarks.demonstrations import as_if_alone
from tests.checking.builders import SHARED, load, problem, unit
from tests.checking.rich import rich_problem

CART = problem(load("lamp"), load("fan", "middle", 7.0), load("winch", "rear", 6.0, needs=("bridge",)))
AUX = unit("aux", sites=("middle",))


def unit_of(layout: Layout, name: str) -> str:
    return next(one.unit for one in layout.circuits if name in one.loads)


RICH = as_if_alone(rich_problem())


@pytest.mark.parametrize("given", [CART, RICH, problem(*SHARED)], ids=["cart", "every feature", "shared"])
def test_it_is_clean(given: Problem):
    assert check(given, by_hand(given)).violations == ()


@pytest.mark.parametrize("given", [CART, problem(*SHARED)], ids=["cart", "shared"])
def test_the_engine_is_never_worse(given: Problem):
    engine, hand = solve(given).objective_g, check(given, by_hand(given)).objective_g
    assert engine is not None and hand is not None
    assert engine <= hand + 1e-6


@pytest.mark.parametrize("n", range(3))
def test_no_wire_of_a_single_load_could_be_a_size_thinner(n: int):
    layout = by_hand(CART)
    sizes = [row.size for row in CART.wires.wires if row.insulation_c == 100.0 and row.area_mm2 >= 0.5]
    for w, wire in enumerate(layout.circuits[n].wires):
        if sizes.index(wire.size) == 0:
            continue
        thinner = replace(wire, size=sizes[sizes.index(wire.size) - 1])
        wires = tuple(thinner if i == w else one for i, one in enumerate(layout.circuits[n].wires))
        changed = replace(layout.circuits[n], wires=wires)
        circuits = tuple(changed if i == n else one for i, one in enumerate(layout.circuits))
        assert not check(CART, replace(layout, circuits=circuits)).clean


def test_loads_go_to_the_nearest_unit():
    given = replace(CART, units=(unit(sites=("front",)), AUX))
    assert unit_of(by_hand(given), "lamp") == "aux"


def test_loads_that_must_not_fail_together_go_apart():
    pair = Function(name="pair", loads=("lamp", "fan"), survive=1, against=("unit",))
    layout = by_hand(replace(CART, units=(unit(sites=("front",)), AUX), functions=(pair,)))
    assert unit_of(layout, "lamp") != unit_of(layout, "fan")


def test_a_unit_that_is_fitted_if_needed_stays_away_where_it_is_not():
    spare = replace(AUX, fit=Fit.IF_NEEDED)
    few = replace(CART, units=(unit(), spare))
    assert [one.name for one in by_hand(few).units] == ["main"]
    loads = (*CART.loads, *(load(f"lamp {n}") for n in range(4)))
    assert [one.name for one in by_hand(replace(few, loads=loads)).units] == ["main", "aux"]


def test_what_finds_no_output_is_left_out_and_the_row_names_the_rule():
    over = replace(CART, loads=(*CART.loads, load("furnace", current_a=60.0)))
    layout = by_hand(over)
    assert {one.rule for one in check(over, layout).violations} == {"load fed once"}
    assert row(over, layout, layout)[-2] == "load fed once x 1"
