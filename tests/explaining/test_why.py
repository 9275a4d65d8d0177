"""Why a load is where it is: forced elsewhere, the whole weighs what a separate solve with that pin says."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from allocator import Layout, LayoutError, ProblemError, check, explain, solve
from allocator.changes.change import with_units
from allocator.evaluation.prepare import prepare
from allocator.explaining import explanation
from allocator.explaining.compromises import Compromises, compromises
from allocator.explaining.explained_layout import ExplainedLayout
from allocator.explaining.explanation import Explanation
from allocator.explaining.forcing import Force, Forced
from allocator.explaining.why import NoLayoutError
from allocator.layout import FEASIBLE, OPTIMAL, Circuit, DirectCircuit, FittedUnit, PlacedWire
from allocator.problem import Problem, Run, Supply
from allocator.reading import read_problem
from tests.case_folders import problem_folder
from tests.engine.draws import ALL, SMALL, draw, draw_crowded
from tests.oracle import least_by_cp_sat

NEARER = problem_folder("why/nearer/problem")


@cache
def nearer() -> Problem:
    return read_problem(NEARER)


@cache
def explained(load: str) -> Explanation:
    return explain(nearer(), load)


@cache
def drawn() -> tuple[tuple[Problem, Layout], ...]:
    """Drawn problems with a layout on two units or more, so that loads could go elsewhere."""
    found = []
    for seed in range(60):
        problem = draw(seed, SMALL, ALL)
        layout = solve(problem)
        if layout.status == OPTIMAL and len(layout.units) > 1:
            found.append((problem, layout))
        if len(found) == 4:
            break
    return tuple(found)


def test_forced_totals_are_those_of_the_oracle_with_that_pin() -> None:
    """The oracle of the tests shares nothing with the engine: it reads the pin as the ``unit`` column says it."""
    loads = forced = 0
    for problem, layout in drawn():
        for load in [x.name for x in problem.loads if x.supply is Supply.UNIT][:3]:
            found = explain(problem, load, layout, exact=True)
            loads += 1
            for one in found.elsewhere:
                least = least_by_cp_sat(one.force.apply(problem))
                assert one.objective_g == (None if least is None else pytest.approx(least, abs=1e-3)), one.force
                forced += 1
    assert loads >= 10
    assert forced >= 10


def test_unless_asked_exactly_what_is_more_is_known_to_a_share_of_itself(monkeypatch) -> None:
    monkeypatch.setattr(explanation, "CLOSE", 0.9)
    problem = draw_crowded(13)
    layout = solve(problem)
    for load in ("load 0", "load 1"):
        (exact,) = explain(problem, load, layout, exact=True).elsewhere
        (close,) = explain(problem, load, layout).elsewhere
        assert (exact.status, exact.at_least_g) == (OPTIMAL, exact.more_g)
        assert close.status == FEASIBLE
        assert exact.more_g is not None
        assert close.at_least_g is not None
        assert close.more_g is not None
        assert close.at_least_g <= exact.more_g <= close.more_g
        assert close.more_g - close.at_least_g <= 0.9 * close.more_g


def test_nothing_else_weighs_less_than_a_proven_layout() -> None:
    for problem, layout in drawn()[:3]:
        for load in [x.name for x in problem.loads if x.supply is Supply.UNIT and x.unit is None][:2]:
            assert all((one.more_g or 0.0) >= -1e-6 for one in explain(problem, load, layout).elsewhere)


def test_a_circuit_put_where_it_is_costs_nothing() -> None:
    """The solution that a layout is read back as is the layout itself, wires and all."""
    circuits = 0
    for problem, layout in drawn():
        explained_layout = ExplainedLayout.of(prepare(problem, layout))
        for circuit in explained_layout.layout.circuits:
            own = explained_layout.option_of(circuit)
            assert own is not None
            assert explained_layout.against(own.candidate.members, circuit, own).more_g == pytest.approx(0.0, abs=1e-3)
            circuits += 1
    assert circuits >= 10


def test_a_force_is_what_the_unit_column_would_say() -> None:
    load = Force("pump", "front").apply(nearer()).load["pump"]
    assert (load.unit, load.output) == ("front", None)
    unit = Force("pump", "rear", "bench").apply(nearer()).unit["rear"]
    assert unit.sites == ("bench",)


def test_a_length_measured_from_a_site_that_is_left_is_no_mistake() -> None:
    measured = replace(nearer(), runs=(Run(load="pump", site="shelf", length_m=1.0),))
    problem = with_units(measured, {"rear"}, lambda unit: replace(unit, sites=("bench", "shelf")))
    for site in ("shelf", "bench"):
        held = with_units(problem, {"front"}, lambda unit: replace(unit, sites=("bench",)))
        assert Force("pump", "rear", site).apply(held).unit["rear"].sites == (site,)


def test_the_options_of_a_load_stand_in_order_of_copper() -> None:
    found = explained("pump")
    assert [(p.unit, p.site, p.copper_g, p.taken) for p in found.places] == [
        ("front", "shelf", 20.0, False),  # 2 m of 10 g/m
        ("rear", "bench", 30.0, True),
    ]
    assert (found.circuit.unit, found.site, found.copper_g, found.proven) == ("rear", "bench", 30.0, True)


def test_the_limit_that_makes_the_nearer_place_dearer_is_named() -> None:
    # lamp and pump draw 5 A + 6 A, and a unit carries 10 A
    assert explained("pump").places[0].against == "unit front at shelf: 1 A over 10 A"


def test_a_layout_of_another_state_of_the_problem_is_proven_nothing() -> None:
    layout = replace(solve(nearer()), problem_sha256="0" * 64)
    assert not explain(nearer(), "pump", layout).proven


def test_what_the_whole_comes_to_elsewhere_and_of_what_it_is_made() -> None:
    (one,) = explained("pump").elsewhere
    # lamp and pump change places: 20 g + 40 g instead of 20 g + 30 g
    assert (one.force, one.status, one.more_g) == (Force("pump", "front"), OPTIMAL, 10.0)
    assert one.parts == (("branches", 10.0),)
    assert one.moved == ("lamp",)


def test_a_unit_that_cannot_feed_a_load_says_why() -> None:
    (refused,) = explained("pump").refused
    assert refused[0] == "strip"
    assert refused[1].startswith("current over what the output carries after output_use, 6 A against 2.4 A, 3.6 A over")


def test_a_pinned_load_is_told_what_its_pin_keeps_it_from() -> None:
    problem = Force("pump", "front").apply(nearer())
    found = explain(problem, "pump")
    assert found.pinned
    assert found.circuit.unit == "front"
    assert [(one.force.unit, one.more_g) for one in found.elsewhere] == [("rear", -10.0)]


def test_compromises_are_circuits_that_could_be_had_for_less() -> None:
    found = explain(nearer())
    assert isinstance(found, Compromises)
    (one,) = found.found
    assert (one.circuit.name, one.nearest_unit, one.nearest_g, one.over_g) == ("pump", "front", 20.0, 10.0)
    assert one.against == "unit front at shelf: 1 A over 10 A"
    assert found.more == 0


def test_no_more_are_listed_than_asked_and_the_rest_is_counted() -> None:
    problem, layout = max(drawn(), key=lambda one: len(explain(one[0], layout=one[1]).found))
    every = explain(problem, layout=layout).found
    grams = [one.over_g for one in every]
    assert len(every) > 1
    assert grams == sorted(grams, reverse=True)
    fewer = compromises(ExplainedLayout.of(prepare(problem, layout)), most=1)
    assert fewer.found == every[:1]
    assert (fewer.more, fewer.more_g) == (len(every) - 1, pytest.approx(sum(grams[1:])))


def test_a_layout_made_by_hand_is_explained_as_it_is() -> None:
    wire = PlacedWire(role="any", size="10 g/m")
    by_hand = Layout(
        problem="nearer",
        units=(FittedUnit(name="front", site="shelf"), FittedUnit(name="rear", site="bench")),
        circuits=(
            Circuit(name="lamp", loads=("lamp",), unit="rear", pins=("1",), wires=(wire,)),
            Circuit(name="pump", loads=("pump",), unit="front", pins=("1",), wires=(wire,)),
        ),
    )
    by_hand = replace(by_hand, direct=(DirectCircuit(load="horn", source="battery"),))
    assert check(nearer(), by_hand).clean
    found = explain(nearer(), "lamp", by_hand)
    assert not found.proven
    assert found.copper_g == 40.0
    assert [(one.force.unit, one.more_g) for one in found.elsewhere] == [("front", -10.0)]


def test_a_layout_of_units_that_are_not_there_is_refused() -> None:
    other = Layout(problem="nearer", units=(FittedUnit(name="front", site="wing"),))
    with pytest.raises(LayoutError, match="not at one of its sites"):
        explain(nearer(), layout=other)


def test_a_load_whose_name_is_nearly_right_is_suggested() -> None:
    with pytest.raises(ProblemError, match=r"'pmup' is not a load of the problem\. Write 'pump' if that is meant"):
        explain(nearer(), "pmup")


def test_a_load_fused_at_the_source_has_no_unit_to_be_explained() -> None:
    with pytest.raises(ProblemError, match="'horn' is fused at the source, and no unit feeds it"):
        explain(nearer(), "horn")


def test_without_a_layout_there_is_nothing_to_explain() -> None:
    small = tuple(replace(one, continuous_a=1.0) for one in nearer().unit_types)
    with pytest.raises(NoLayoutError, match="no layout is possible; why_not gives"):
        explain(replace(nearer(), unit_types=small))


def test_without_a_limit_other_places_have_a_limit_of_their_own(monkeypatch) -> None:
    """Each place has its share of it; what is not known in the time is told apart from what is."""
    monkeypatch.setattr(explanation, "ELSEWHERE_S", 0.0)
    layout = solve(nearer())
    assert explain(nearer(), "pump", layout).untried == (Force("pump", "front"),)
    assert explain(nearer(), "pump", layout, exact=True).untried == ()
    assert explain(nearer(), "pump", layout, time_limit_s=600.0).untried == ()


@pytest.mark.parametrize(
    ("status", "more_g", "at_least_g", "close"),
    [
        (OPTIMAL, 10.0, 10.0, True),
        (FEASIBLE, 10.0, 9.0, True),
        (FEASIBLE, 10.0, 8.0, False),
        (FEASIBLE, 10.0, None, False),
        ("infeasible", None, None, True),
        ("nothing-found", None, None, False),
    ],
)
def test_what_is_known_closely(status, more_g, at_least_g, close) -> None:
    one = Forced(Force("pump", "front"), status, more_g=more_g, at_least_g=at_least_g)
    assert one.within(0.1) is close


def test_places_left_untried_when_the_time_is_up_are_named() -> None:
    layout = solve(nearer())
    found = explain(nearer(), "pump", layout, time_limit_s=0.0)
    assert found.elsewhere == ()
    assert found.untried == (Force("pump", "front"),)


def test_explanations_as_tables() -> None:
    found = explained("pump")
    assert list(found.frame()["copper_g"]) == [20.0, 30.0]
    assert list(found.elsewhere_frame()["more_g"]) == [10.0]
    assert list(explain(nearer()).frame()["over_g"]) == [10.0]
