from __future__ import annotations

import json
from dataclasses import replace

from allocator.checking import complete
from allocator.checking.prepare import prepare
from allocator.checking.volts import volts_of
from allocator.problem import Bulkhead, Bundling, ContactSet
from allocator.showing.loaded import loaded_outputs
from allocator.showing.page.abouts import abouts
from allocator.showing.records import wire_records
from allocator.showing.runs import stretches
from tests.showing.samples import LAYOUT, PROBLEM


def told(problem=PROBLEM, layout=LAYOUT):
    context, whole = prepare(problem, layout), complete(problem, layout)
    found = abouts(
        context, whole, stretches(context, whole), loaded_outputs(context), volts_of(context).loads, wire_records(whole)
    )
    return {(one.kind, one.name): one for one in found}


def test_each_thing_has_an_id_of_its_own():
    ids = [one.id for one in told().values()]
    assert len(ids) == len(set(ids))


def test_a_load_tells_what_feeds_it_and_its_own_wires():
    lamp = told()["load", "lamp 1"]
    assert dict(lamp.facts)["shares with"] == "lamp 2"
    assert dict(lamp.facts)["fed by"] == "unit front"
    assert [row[1] for row in lamp.listed] == ["trunk", "branch", "return"]
    assert json.loads(lamp.runs)[-1][0] == "feed"


def test_a_load_that_nothing_feeds_says_so():
    heater = told(layout=replace(LAYOUT, circuits=()))["load", "heater"]
    assert heater.label.endswith("fed by nothing")
    assert heater.runs == "[]"


def test_a_unit_lists_every_output():
    front = told()["unit", "front"]
    assert [row[0] for row in front.listed] == ["H1", "H2", "H3", "H4", "S1", "S2", "S3", "S4", "S5"]
    assert dict(front.facts)["outputs"] == "7 of 9 used"
    assert ("unit", "rear") not in told()


def test_a_stretch_tells_its_column_where_bundles_count_and_that_they_do_not_elsewhere():
    assert dict(told()["stretch", "nose - warm"].facts)["sized for"] == "60 %, factor 0.750"
    off = replace(PROBLEM, margins=replace(PROBLEM.margins, bundle=Bundling.NONE))
    assert dict(told(off)["stretch", "nose - warm"].facts)["bundle factors"] == "off"


def test_a_bulkhead_tells_which_contacts_are_taken():
    wall = Bulkhead(name="wall", contacts=(ContactSet(count=9, wire_mm2=(0.5, 6.0)),), studs=1)
    segments = (replace(PROBLEM.segments[0], bulkhead="wall"), *PROBLEM.segments[1:])
    about = told(replace(PROBLEM, bulkheads=(wall,), segments=segments))["bulkhead", "wall"]
    assert dict(about.facts)["between"] == "nose - warm"
    assert about.listed[0][0::2] == ("0.5 to 6 mm2", "9")
