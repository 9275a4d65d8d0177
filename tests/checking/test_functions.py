"""Every kind of failure takes the loads it should, and no others."""

from __future__ import annotations

import pytest

from allocator.checking import check
from allocator.layout import Circuit, FittedUnit
from allocator.problem import Bulkhead, ContactSet, Function, Source
from tests.checking.builders import (
    MIDDLE,
    SEGMENTS,
    box,
    circuit,
    heavy,
    layout,
    light,
    load,
    places,
    problem,
    replace,
    unit,
)

AUX = unit("aux", sites=("middle",))
HOLES = (ContactSet(count=9, wire_mm2=(0.35, 6.0)),)
TWO_SOURCES = (Source(name="battery", place="battery"), Source(name="starter", place="battery"))


def lost(kind: str, *circuits: Circuit, survive: int = 1, **changes) -> dict[str, float]:
    """Loads lost beyond what the function of lamp and fan allows, by failure."""
    function = Function(name="pair", loads=("lamp", "fan"), survive=survive, against=(kind,))
    loads = changes.pop("loads", (load("lamp"), load("fan")))
    given = problem(*loads, functions=(function,), units=changes.pop("units", (unit(), AUX)), **changes)
    units = (FittedUnit(name="main", site="front"), FittedUnit(name="aux", site="middle"))
    report = check(given, layout(*circuits, units=units))
    assert {violation.rule for violation in report.violations} <= {"function"}
    return {
        violation.object.removeprefix("function pair without "): violation.amount for violation in report.violations
    }


LAMP = circuit("lamp", "a1")
FAN_BESIDE, FAN_IN_OTHER_BANK, FAN_APART = circuit("fan", "a2"), circuit("fan", "b1"), circuit("fan", unit="aux")


@pytest.mark.parametrize("kind", ["source", "feed", "unit"])
def test_loads_of_one_unit_fail_with(kind):
    named = {"source": "source battery", "feed": "the feed of unit main", "unit": "unit main"}[kind]
    assert lost(kind, LAMP, FAN_BESIDE) == {named: 1}


@pytest.mark.parametrize("kind", ["feed", "unit", "bank", "output"])
def test_loads_of_two_units_do_not_fail_together_with(kind):
    assert lost(kind, LAMP, FAN_APART) == {}


def test_units_of_one_source_fail_with_it():
    assert lost("source", LAMP, FAN_APART) == {"source battery": 1}


def test_units_of_two_sources_do_not():
    units = (unit(), replace(AUX, source="starter"))
    assert lost("source", LAMP, FAN_APART, units=units, sources=TWO_SOURCES) == {}


def test_loads_of_one_bank_fail_with_it():
    assert lost("bank", LAMP, FAN_BESIDE) == {"bank left of unit main": 1}
    assert lost("bank", LAMP, FAN_IN_OTHER_BANK) == {}


def test_a_unit_that_names_no_banks_is_one_bank():
    plain = box(banks=(), outputs=(light(bank=None), heavy(bank=None)))
    assert lost("bank", LAMP, FAN_IN_OTHER_BANK, unit_types=(plain,)) == {"the one bank of unit main": 1}


def test_loads_that_share_an_output_fail_with_it():
    loads = (load("lamp", share="both"), load("fan", share="both"))
    assert lost("output", circuit("lamp fan", "a1"), loads=loads) == {"output a1 of unit main": 1}
    assert lost("output", LAMP, FAN_BESIDE) == {}


def test_a_parallel_group_is_lost_with_either_output():
    loads = (load("lamp", "front", 25.0), load("fan"))
    strong = circuit("lamp", "b1 b2", "6 mm2")
    named = {"output b1 of unit main": 1, "output b2 of unit main": 1}
    assert lost("output", strong, FAN_BESIDE, loads=loads, survive=2) == named | {"output a2 of unit main": 1}


def walled(segment: int):
    segments = tuple(replace(one, bulkhead="wall" if n == segment else None) for n, one in enumerate(SEGMENTS))
    return {"segments": segments, "bulkheads": (Bulkhead(name="wall", contacts=HOLES, studs=2),)}


def test_loads_behind_one_bulkhead_fail_with_it():
    assert lost("bulkhead", LAMP, FAN_BESIDE, **walled(2)) == {"bulkhead wall": 1}


def test_a_load_before_the_bulkhead_does_not():
    loads = (load("lamp"), load("fan", "front"))
    assert lost("bulkhead", LAMP, FAN_BESIDE, loads=loads, **walled(2)) == {}


def test_a_return_through_the_bulkhead_counts_too():
    loads = (load("lamp"), load("fan", "front", return_to="rear"))
    assert lost("bulkhead", LAMP, FAN_BESIDE, loads=loads, **walled(2)) == {"bulkhead wall": 1}


def test_a_unit_is_lost_when_its_feed_crosses():
    loads = (load("lamp", "middle", return_to="middle"), load("fan", "middle", return_to="middle"))
    assert lost("bulkhead", LAMP, FAN_APART, loads=loads, **walled(1)) == {"bulkhead wall": 1}


def test_loads_behind_a_trunk_fail_with_the_bulkhead_it_crosses():
    loads = (load("lamp", share="both"), load("fan", "middle", share="both", return_to="middle"))
    assert lost("bulkhead", circuit("lamp fan", "a1"), loads=loads, **walled(1)) == {"bulkhead wall": 1}


def test_loads_that_return_to_one_stud_fail_with_it():
    assert lost("stud", LAMP, FAN_BESIDE) == {"stud rear": 1}
    assert lost("stud", LAMP, FAN_BESIDE, loads=(load("lamp"), load("fan", "front"))) == {}


def test_a_return_to_the_source_ends_at_no_stud():
    loads = (load("lamp", "front"), load("fan", return_to="source"))
    assert lost("stud", LAMP, FAN_BESIDE, loads=loads) == {}


def test_a_return_to_a_named_place_with_a_stud_counts():
    loads = (load("lamp"), load("fan", "front", return_to="rear"))
    assert lost("stud", LAMP, FAN_BESIDE, loads=loads) == {"stud rear": 1}


def test_a_place_without_a_stud_is_none():
    loads = (load("lamp", return_to="middle"), load("fan", return_to="middle"))
    assert lost("stud", LAMP, FAN_BESIDE, loads=loads, places=places(middle=MIDDLE)) == {}
