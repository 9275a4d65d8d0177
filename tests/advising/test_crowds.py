"""Advice where bundles count: the same answers as from the model that holds every number of wires in every segment."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from allocator import check, explain, headroom, revise, solve, tradeoff, why_not
from allocator.advising.basis import Basis
from allocator.advising.crowds import Watching
from allocator.advising.revising.built import still_there
from allocator.advising.revising.model import Revising, revisable
from allocator.advising.tradeoff import _Search
from allocator.choosing import choose
from allocator.layout import FEASIBLE, OPTIMAL, Layout
from allocator.problem import Problem, Supply, WireRules
from tests.checking.builders import box, heavy, light, load, problem, unit
from tests.test_bundling import in_bundles

SEEDS = range(12)
EVERY = tuple(range(1, 80))


@cache
def solved(column: float) -> tuple[tuple[Problem, Layout], ...]:
    """Drawn problems in bundles with their optimal layouts, all segments at one column at least."""
    found = []
    for seed in SEEDS:
        drawn = in_bundles(seed)
        if drawn.segments:
            problem = replace(drawn, margins=replace(drawn.margins, bundle_loading=column))
            layout = solve(problem)
            found += [(problem, layout)] if layout.status == OPTIMAL else []
    assert len(found) >= 4
    return tuple(found)


def grown(problem: Problem) -> Problem:
    """The problem with its first load drawing a third more, and one more of the second."""
    first, second, *rest = problem.loads
    more = replace(second, name="one more", item="one more", share=None, together=None, unit=None, output=None)
    return replace(problem, loads=(replace(first, current_a=first.current_a * 4.0 / 3.0), second, *rest, more))


def watching_all(problem: Problem) -> Watching:
    return Watching(watched=dict.fromkeys(range(len(problem.segments)), EVERY))


def test_a_trade_off_is_that_of_the_whole_model():
    points = 0
    for asked, _ in solved(1.0):
        found, whole = tradeoff(asked), _Search(asked, "outputs", None)
        whole.watching = watching_all(asked)
        exact = whole.run(None)
        assert [(p.outputs_used, p.copper_g) for p in found.points] == [
            (p.outputs_used, pytest.approx(p.copper_g, abs=1e-3)) for p in exact.points
        ]
        assert found.status == OPTIMAL
        assert all(check(asked, p.layout).clean for p in found.points)
        points += len(found.points)
    assert points >= 6


def test_a_revision_is_that_of_the_whole_model():
    settled = 0
    for asked, built in solved(1.0):
        later = grown(asked)
        found = revise(later, built, free=False)
        own = revisable(later, still_there(later, built), resite=False, watching=watching_all(later))
        exact = choose(own.pricing, change=Revising(own, later.prices.move_g, None))
        assert found.status == exact.status
        assert found.objective_g == pytest.approx(exact.objective_g, abs=1e-3)
        if found.layout is not None:
            assert check(later, found.layout).clean
            settled += 1
    assert settled >= 3


def test_what_has_not_changed_stays_though_it_lies_in_bundles():
    for asked, built in solved(1.0):
        found = revise(asked, built)
        assert (found.moves, found.new_copper_g, found.reasons) == (0, 0.0, ())


@pytest.mark.parametrize("column", [0.8, 1.0])  # lower ones may be raised, and then the way there matters
def test_forced_totals_are_those_of_a_separate_solve(column):
    forced = 0
    for asked, layout in solved(column)[:4]:
        for name in [x.name for x in asked.loads if x.supply is Supply.UNIT][:2]:
            for one in explain(asked, name, layout).elsewhere:
                assert one.objective_g == pytest.approx(solve(one.force.apply(asked)).objective_g, abs=1e-3)
                forced += 1
    assert forced >= 4


@pytest.mark.parametrize("column", [0.2, 1.0])
def test_a_layout_in_bundles_is_found_among_the_options_that_explain_it(column):
    for asked, layout in solved(column):
        basis = Basis.of(asked, layout)
        assert basis.known is not None
        for circuit in basis.layout.circuits:
            own = basis.option_of(circuit)
            assert own is not None
            assert basis.against(own.candidate.members, circuit, own).more_g == pytest.approx(0.0, abs=1e-3)


def test_columns_that_have_to_rise_leave_a_checked_answer_that_claims_no_more_than_is_proven():
    drawn = in_bundles(17)
    problem = replace(drawn, margins=replace(drawn.margins, bundle_loading=0.2))
    found = tradeoff(problem)
    assert any("columns" in text for text in found.cut_short)
    for point in found.points:
        assert check(problem, point.layout).clean
        assert point.bound_g is not None
        assert point.proven == (point.copper_g == pytest.approx(point.bound_g, abs=1e-3))
    assert found.status == (OPTIMAL if all(point.proven for point in found.points) else FEASIBLE)


@pytest.mark.parametrize("column", [0.2, 1.0])
def test_a_revision_is_checked_whatever_the_columns(column):
    for asked, built in solved(column):
        found = revise(grown(asked), built, free=False)
        assert found.layout is None or check(grown(asked), found.layout).clean


def test_what_may_be_added_is_told():
    for asked, layout in solved(1.0)[:3]:
        for one in headroom(asked, layout, step_a=4.0).largest:
            assert one.current_a >= 0.0


def test_where_bundles_leave_no_layout_they_are_named_as_what_is_lacking():
    """Six wires of 1 mm2 to the rear, and no heavier wire on the shelf: five such wires could lie together."""
    lamps = [load(f"lamp {n}", current_a=8.0) for n in range(6)]
    kind = box(outputs=(light(pins=tuple(f"a{n}" for n in range(12))), heavy()))
    cart = problem(
        *lamps,
        margins={"bundle": True, "branch_drop": 0.2},
        units=(unit(sites=("front",)),),
        unit_types=(kind,),
        wire_rules=WireRules(sizes=("1 mm2",)),
    )
    why = why_not(cart, most=1)
    assert why is not None
    assert [one.limit.kind for one in why.shortfalls] == ["bundle", "bundle"]
    assert why.shortfalls[0].text == "bundle in segment front - middle: 1 wire more than those in it bear"
    assert why.ways
    assert why.ways[0].sentence == "Use every size of the wire table, not 1 mm2 alone."
