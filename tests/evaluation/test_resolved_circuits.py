"""Lengths, returns and trips, recomputed."""

from __future__ import annotations

import pytest

from allocator.checking import check
from allocator.evaluation.complete import complete
from allocator.problem import Place, Run, Source
from tests.checking.builders import (
    BATTERY,
    FRONT,
    MIDDLE,
    REAR,
    back,
    circuit,
    layout,
    load,
    out,
    places,
    problem,
    replace,
    unit,
)


def lengths(given, one=None) -> dict[str, float]:
    return {wire.role: wire.length_m for wire in complete(given, layout(one or circuit())).circuits[0].wires}


def test_a_wire_is_as_long_as_its_route_and_tail():
    assert lengths(problem(margins={"tail_m": 0.4})) == {"out": 2.4, "return": 0.4}


def test_the_lead_of_a_load_is_taken_off_the_outgoing_wire_only():
    assert lengths(problem(load(lead_m=0.5))) == {"out": pytest.approx(1.8), "return": 0.3}


def test_no_wire_is_shorter_than_nothing():
    assert lengths(problem(load(lead_m=5.0)))["out"] == 0.0


def test_a_measured_run_replaces_route_tail_and_lead():
    assert lengths(problem(load(lead_m=0.5), runs=(Run(load="lamp", site="front", length_m=1.7),)))["out"] == 1.7


def test_a_run_measured_to_another_site_does_not():
    assert lengths(problem(runs=(Run(load="lamp", site="middle", length_m=1.7),)))["out"] == 2.3


def test_without_studs_a_return_is_a_lead_at_the_load():
    bare = (replace(BATTERY, stud_a=None), FRONT, MIDDLE, replace(REAR, stud_a=None))
    assert lengths(problem(places=bare, margins={"ground_lead_m": 0.7}))["return"] == 0.7


@pytest.mark.parametrize(
    ("return_to", "end", "length"), [("chassis", "battery", 1.8), ("source", "battery", 1.8), ("front", "front", 1.3)]
)
def test_a_return_ends_where_it_should(return_to, end, length):
    given = problem(load(place="middle", return_to=return_to), places=places(rear=replace(REAR, stud_a=None)))
    wire = complete(given, layout()).circuits[0].wires[1]
    assert (wire.end, wire.length_m) == (end, length)


def test_the_nearest_stud_by_route_then_by_name():
    level = (*places(battery=replace(BATTERY, stud_a=None)), Place(name="x"))
    given = problem(
        load(place="middle"), places=tuple(replace(p, stud_a=9.0) if p.name == "front" else p for p in level)
    )
    assert complete(given, layout()).circuits[0].wires[1].end == "front"


def test_a_return_to_the_source_goes_to_the_source_of_the_unit():
    sources = (Source(name="battery", place="battery"), Source(name="other", place="rear"))
    given = problem(load(place="middle", return_to="source"), sources=sources, units=(unit(source="other"),))
    assert complete(given, layout()).circuits[0].wires[1].end == "rear"


def test_a_return_elsewhere_is_named():
    found = check(problem(), layout(circuit(wires=(out(), back(end="middle"))))).violations
    assert [(v.rule, v.text) for v in found] == [
        ("wire ends", "circuit lamp, return wire joins rear and middle, instead of rear and rear")
    ]


def test_a_parallel_trip_allows_for_uneven_sharing():
    given = problem(load(current_a=25.0))
    # 1.25 x 25 / (2 x 0.9) = 17.36 A
    assert complete(given, layout(circuit(pins="b1 b2", size="6 mm2"))).circuits[0].trip_a == 17.5


def test_each_output_of_a_bridge_trips_as_if_alone():
    given = problem(load(current_a=10.0, needs=("bridge",)))
    assert complete(given, layout(circuit(pins="b1 b2", size="6 mm2"))).circuits[0].trip_a == 12.5


@pytest.mark.parametrize(("most", "rules"), [(35.0, []), (34.0, ["largest trip"])])
def test_the_trips_of_a_parallel_group_add_up_for_the_load(most, rules):
    given = problem(load(current_a=25.0, max_trip_a=most))
    found = check(given, layout(circuit(pins="b1 b2", size="6 mm2"))).violations
    assert [v.rule for v in found] == rules


@pytest.mark.parametrize(("stall", "broken"), [(5.0, True), (5.000001, False)])
def test_a_trip_at_the_stall_current_is_not_below_it(stall, broken):
    assert bool(check(problem(load(stall_a=stall)), layout()).violations) is broken


def test_no_setting_that_serves_is_a_violation():
    found = check(problem(load(current_a=8.1)), layout()).violations
    assert [(v.rule, v.amount) for v in found] == [
        ("output current", pytest.approx(0.1)),
        ("trip setting", pytest.approx(0.125)),
    ]


def test_the_return_of_a_parallel_group_carries_all_trips():
    given = problem(load(current_a=25.0))
    found = check(given, layout(circuit(pins="b1 b2", size="2.5 mm2"))).violations
    assert [(v.rule, v.object) for v in found] == [("wire ampacity", "circuit lamp, return wire")]
