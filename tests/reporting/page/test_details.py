from __future__ import annotations

import json
from dataclasses import replace

from allocator.evaluation.complete import complete
from allocator.evaluation.network_volts import volts_of
from allocator.evaluation.prepare import prepare
from allocator.problem import Bulkhead, Bundling, ContactSet
from allocator.reporting.loaded import loaded_outputs
from allocator.reporting.page.details import _stretches, details
from allocator.reporting.records import wires
from allocator.reporting.runs import stretches
from tests.reporting import warm
from tests.reporting.samples import LAYOUT, PROBLEM


def told(problem=PROBLEM, layout=LAYOUT):
    context, whole = prepare(problem, layout), complete(problem, layout)
    found = details(
        context,
        whole,
        stretches(context, whole),
        loaded_outputs(context),
        volts_of(context).loads,
        wires(whole).records(),
    )
    return {(one.kind, one.name): one for one in found}


def test_each_thing_has_an_id_of_its_own():
    ids = [one.id for one in told().values()]
    assert len(ids) == len(set(ids))


def test_a_load_tells_what_feeds_it_and_its_own_wires():
    lamp = told()["load", "lamp 1"]
    assert dict(lamp.facts)["shares with"] == "lamp 2"
    assert dict(lamp.facts)["fed by"] == "unit front"
    assert [row[1] for row in lamp.listed.rows] == ["trunk", "branch", "return"]
    assert json.loads(lamp.runs)[-1][0] == "feed"


def test_a_load_that_nothing_feeds_says_so():
    heater = told(layout=replace(LAYOUT, circuits=()))["load", "heater"]
    assert heater.label.endswith("fed by nothing")
    assert heater.runs == "[]"


def test_a_unit_lists_every_output():
    front = told()["unit", "front"]
    assert [row[0] for row in front.listed.rows] == ["H1", "H2", "H3", "H4", "S1", "S2", "S3", "S4", "S5"]
    assert dict(front.facts)["outputs"] == "7 of 9 used"
    assert ("unit", "rear") not in told()


def test_a_stretch_tells_what_lies_in_it_and_how_warm_it_gets():
    facts = dict(told(warm.CART, warm.LAYOUT)["stretch", "front - middle"].facts)
    assert (facts["wires in the bundle"], facts["cables beside"]) == ("2", "1")
    # the figures are those of tests/reporting/lists/test_bundles.py
    assert (facts["diameter"], facts["heat"]) == ("4.3 mm", "2.0 of 5.7 W/m, 35 %, in day")
    assert facts["hottest wire"] == "circuit fan, out wire"
    assert "loading" not in facts


def test_where_heat_is_left_out_a_stretch_says_so_and_tells_the_loading():
    off = replace(warm.CART, margins=replace(warm.CART.margins, bundle=Bundling.NONE))
    facts = dict(told(off, warm.LAYOUT)["stretch", "front - middle"].facts)
    assert facts["heat of the bundle"] == "left out"
    assert facts["loading"] == "25 % of what its wires carry, in night"
    assert "heat" not in facts


def test_a_stretch_without_a_bundle_of_the_check_counts_all_that_lies_there():
    (one, *_) = stretches(prepare(PROBLEM, LAYOUT), LAYOUT)
    (about,) = _stretches(PROBLEM, [replace(one, bundle=None)])
    assert dict(about.facts)["wires"] == f"{one.wires}"


def test_a_cable_alone_has_no_facts_of_a_bundle():
    facts = dict(told(warm.CART, warm.LAYOUT)["stretch", "battery - front"].facts)
    assert (facts["wires in the bundle"], facts["cables beside"]) == ("0", "2")
    assert not {"diameter", "heat", "loading"} & {*facts}


def test_a_bulkhead_tells_which_contacts_are_taken():
    wall = Bulkhead(name="wall", contacts=(ContactSet(count=9, wire_mm2=(0.5, 6.0)),), studs=1)
    segments = (replace(PROBLEM.segments[0], bulkhead="wall"), *PROBLEM.segments[1:])
    about = told(replace(PROBLEM, bulkheads=(wall,), segments=segments))["bulkhead", "wall"]
    assert dict(about.facts)["between"] == "nose - warm"
    assert about.listed.rows[0][0::2] == ("0.5 to 6 mm2", 9)
