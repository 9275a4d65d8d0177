"""Layouts that somebody made to pass: figures that are no numbers, lists that add up, wires that go round."""

from __future__ import annotations

import pytest

from allocator.checking import check
from allocator.layout import DirectCircuit, Feed, FittedUnit, PlacedWire, Splice
from allocator.problem import Supply
from tests.checking.builders import (
    BATTERY,
    FRONT,
    MIDDLE,
    REAR,
    SHARED,
    back,
    circuit,
    layout,
    load,
    out,
    problem,
    replace,
    shared_circuit,
)

NO_NUMBERS = (float("nan"), float("inf"), float("-inf"))


def broken(there, made) -> set[str]:
    return {violation.rule for violation in check(there, made).violations}


@pytest.mark.parametrize("value", NO_NUMBERS)
def test_a_trip_that_is_no_number_is_refused(value):
    assert "trip setting" in broken(problem(), layout(circuit(trip_a=value)))


@pytest.mark.parametrize("value", NO_NUMBERS)
def test_a_fuse_that_is_no_number_is_refused(value):
    units = (FittedUnit(name="main", site="front", feed=Feed(size="6 mm2", fuse_a=value)),)
    assert "standard fuse" in broken(problem(), layout(units=units))
    there = problem(load(), load("pump", current_a=12.0, supply=Supply.DIRECT))
    direct = DirectCircuit(load="pump", source="battery", fuse_a=value, wires=(PlacedWire(role="any", size="4 mm2"),))
    assert "standard fuse" in broken(there, layout(direct=(direct,)))


@pytest.mark.parametrize("value", NO_NUMBERS)
def test_an_insulation_class_that_is_no_number_is_refused(value):
    assert broken(problem(), layout(circuit(wires=(out(insulation_c=value), back())))) == {"wire insulation"}


@pytest.mark.parametrize("counts", [(2, -1), (1, 0)])
def test_splices_that_only_add_up_are_refused(counts):
    splices = tuple(Splice(place="middle", count=count) for count in counts)
    assert broken(problem(*SHARED), layout(shared_circuit(splices=splices))) == {"splice count"}


def test_a_ground_lead_does_not_go_round_through_the_machine():
    """Its length is set, so a way round would be wire that is not there."""
    bare = problem(places=(replace(BATTERY, stud_a=None), FRONT, MIDDLE, replace(REAR, stud_a=None)))
    assert check(bare, layout(circuit(wires=(out(), back(route=("rear",)))))).clean
    found = check(bare, layout(circuit(wires=(out(), back(route=("rear", "middle", "rear")))))).violations
    assert [(v.rule, v.object, v.amount) for v in found] == [("measured run", "circuit lamp, return wire", 2.0)]


def test_a_trunk_names_each_of_its_loads_once():
    trunk = PlacedWire(role="trunk", size="1.5 mm2", start="front", end="middle", loads=("lamp", "spot", "spot"))
    assert broken(problem(*SHARED), layout(shared_circuit(trunk))) == {"joined"}
