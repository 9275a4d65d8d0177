"""Contacts that are filled in for wires that name none."""

from __future__ import annotations

from allocator.checking import check
from allocator.evaluation.complete import complete
from allocator.layout import PlacedWire
from allocator.problem import Bulkhead, ContactSet, Problem
from tests.checking.builders import SEGMENTS, back, circuit, layout, load, out, problem, replace


def walled(*counts_and_ohms: tuple[int, float]) -> Problem:
    sets = tuple(ContactSet(count=n, wire_mm2=(0.5, 6.0), resistance_ohm=ohm) for n, ohm in counts_and_ohms)
    segments = (SEGMENTS[0], SEGMENTS[1], replace(SEGMENTS[2], bulkhead="wall"))
    return problem(load(current_a=25.0), segments=segments, bulkheads=(Bulkhead(name="wall", contacts=sets),))


def in_parallel(*more: PlacedWire):
    return layout(circuit(pins="b1 b2", wires=(out(size="6 mm2"), out(size="6 mm2"), back(size="6 mm2"), *more)))


def test_wires_that_share_a_current_get_contacts_of_one_resistance():
    # one good contact is no use to two wires
    there = walled((1, 0.0), (2, 0.003), (2, 0.006))
    taken = [wire.contacts[0].set for wire in complete(there, in_parallel()).circuits[0].wires if wire.contacts]
    assert taken == [1, 1]
    assert check(there, in_parallel()).clean


def test_where_there_are_too_few_alike_the_check_says_so():
    found = check(walled((1, 0.0), (1, 0.003)), in_parallel()).violations
    assert [(v.rule, v.unit) for v in found] == [("even contacts", "mohm")]
