"""A machine with wires heavier than they need to be alone, because their bundle would get too warm: in every answer."""

from __future__ import annotations

from dataclasses import replace

import pytest

from allocator import check, revise, solve, tradeoff
from allocator.evaluation.prepare import prepare
from allocator.explaining.explained_layout import ExplainedLayout
from allocator.layout import OPTIMAL, Layout
from allocator.options import list_options
from allocator.problem import Problem
from allocator.reading import read_problem
from allocator.search.warm_start import options_taken
from tests.case_folders import problem_folder


@pytest.fixture(scope="module")
def warm() -> Problem:
    """The machine that has no layout for the heat of one bundle, with wire of 2.5 mm2 too."""
    given = read_problem(problem_folder("infeasible/bundle/problem"))
    output = replace(given.unit_types[0].outputs[0], wire_mm2=(1.0, 2.5))
    thick = replace(given.wires.wires[0], size="2.5 mm2", area_mm2=2.5)
    return replace(
        given,
        wires=replace(given.wires, wires=(*given.wires.wires, thick)),
        unit_types=(replace(given.unit_types[0], outputs=(output,)),),
    )


@pytest.fixture(scope="module")
def built(warm: Problem) -> Layout:
    return solve(warm)


def test_it_has_heavier_wires_than_are_listed_for_each_alone(warm: Problem, built: Layout) -> None:
    assert built.status == OPTIMAL
    assert {wire.size for one in built.circuits for wire in one.wires} == {"1 mm2", "2.5 mm2"}
    taken = options_taken(list_options(warm), built)
    assert taken is not None
    assert None in taken[1]


def test_as_an_explained_layout_its_very_circuits_are_listed(warm: Problem, built: Layout) -> None:
    explained_layout = ExplainedLayout.of(prepare(warm, built))
    assert explained_layout.taken is not None
    assert None not in explained_layout.taken[1]
    assert explained_layout.as_solution is not None


def test_a_circuit_in_lighter_wire_is_told_by_how_much_it_makes_the_bundle_too_warm(
    warm: Problem, built: Layout
) -> None:
    explained_layout = ExplainedLayout.of(prepare(warm, built))
    heavy = next(one for one in explained_layout.layout.circuits if any(w.size == "2.5 mm2" for w in one.wires))
    own = explained_layout.option_of(heavy)
    assert own is not None
    lighter = next(
        option
        for option in explained_layout.option_list.options
        if option.candidate == own.candidate and {c.wire.size for c in option.conductors} == {"1 mm2"}
    )
    swap = explained_layout.against(own.candidate.members, heavy, lighter)
    assert [one.limit.kind for one in swap.passed] == ["bundle"]
    assert swap.text.startswith("bundle shelf - nose: ")


def test_nothing_has_to_be_moved_where_nothing_has_changed(warm: Problem, built: Layout) -> None:
    revision = revise(warm, built, free=False)
    assert (revision.status, revision.objective_g, revision.moves) == (OPTIMAL, 0.0, 0)


def test_a_revision_keeps_its_bundles_cool(warm: Problem, built: Layout) -> None:
    """The winch gets stronger: by itself its wires would do, in the bundle they or others have to be heavier."""
    stronger = replace(warm, loads=tuple(replace(x, current_a=9.6) if x.name == "winch" else x for x in warm.loads))
    revision = revise(stronger, built, free=False)
    assert revision.status == OPTIMAL
    assert revision.layout is not None
    assert check(stronger, revision.layout).clean


def test_no_point_of_a_trade_off_is_too_warm(warm: Problem, built: Layout) -> None:
    traded = tradeoff(warm)
    assert traded.status == OPTIMAL
    assert built.totals is not None
    assert [point.copper_g for point in traded.points] == [built.totals.copper_g]
