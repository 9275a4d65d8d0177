from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.evaluation.bundle_figures import bundles
from allocator.evaluation.prepare import prepare
from allocator.reporting.runs import FEED, OUT, RETURN, Run, fed_by, runs_of, stretches
from tests.reporting.samples import LAYOUT, PROBLEM


def found(layout=LAYOUT, problem=PROBLEM):
    return {one.name: one for one in stretches(prepare(problem, layout), layout)}


def test_a_run_is_the_way_out_the_way_back_and_the_feed():
    roles = [run.role for run in runs_of(LAYOUT, "pump [x]")]
    assert roles == [OUT, RETURN, FEED]
    assert Run(OUT, ("warm", "nose")) in runs_of(LAYOUT, "pump [x]")


def test_a_load_of_a_shared_output_has_its_own_branch_and_return_only():
    for run in runs_of(LAYOUT, "lamp 1"):
        wires = [wire for circuit in LAYOUT.circuits for wire in circuit.wires if wire.route == run.route]
        assert run.role == FEED or any("lamp 1" in wire.loads for wire in wires)


def test_a_direct_load_has_no_feed():
    assert {run.role for run in runs_of(LAYOUT, "radio")} <= {OUT, RETURN}


def test_what_nothing_feeds_has_no_run():
    assert runs_of(replace(LAYOUT, circuits=()), "heater") == ()
    assert "heater" not in fed_by(PROBLEM, replace(LAYOUT, circuits=()))


def test_copper_of_a_stretch_is_that_of_a_metre_of_every_wire_in_it():
    # two outgoing wires and a trunk, 8.89 g/m each
    laid = [wire for circuit in LAYOUT.circuits for wire in circuit.wires if set(wire.route) == {"warm", "tail"}]
    alone = found(replace(LAYOUT, given=()))["warm - tail"]
    assert alone.wires == len(laid)
    assert alone.copper_g_m == pytest.approx(8.89 * len(laid), rel=1e-3)


def test_every_core_of_a_given_wire_counts():
    assert found()["warm - tail"].wires == found(replace(LAYOUT, given=()))["warm - tail"].wires + 2


def test_segments_without_a_wire_are_there_and_empty():
    empty = replace(LAYOUT, circuits=(), direct=(), given=(), units=())
    assert {one.wires for one in found(empty).values()} == {0}
    assert len(found(empty)) == len(PROBLEM.segments)


def test_a_stretch_has_the_bundle_that_the_check_finds_there():
    bundle = found()["nose - warm"].bundle
    assert bundle == next(one for one in bundles(PROBLEM, LAYOUT) if one.name == "nose - warm")
    assert bundle.warmest is not None
