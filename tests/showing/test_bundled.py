from __future__ import annotations

from dataclasses import replace

from allocator.checking.bundles import bundles
from allocator.checking.prepare import prepare
from allocator.problem import Bundling
from allocator.showing.blocks import Table
from allocator.showing.bundled import SHOWN, filled
from allocator.showing.text import plain
from allocator.solving import solve
from tests.engine.draws import draw_crowded


def crowded():
    """A drawn machine in bundles that has a layout with more segments in use than are shown."""
    for seed in range(100):
        problem = draw_crowded(seed)
        layout = solve(problem)
        if layout.objective_g is not None and len(bundles(problem, layout)) > SHOWN:
            return problem, layout
    raise AssertionError("no draw has enough segments")


PROBLEM, LAYOUT = crowded()


def rows(blocks):
    return [row for block in blocks if isinstance(block, Table) for row in block.rows]


def test_the_fullest_bundles_are_shown_first_and_the_others_counted():
    shown = [int(row[1]) for row in rows(filled(prepare(PROBLEM, LAYOUT)))]
    everything = sorted((bundle.wires for bundle in bundles(PROBLEM, LAYOUT)), reverse=True)
    assert shown == everything[:SHOWN]
    assert f"{len(everything) - SHOWN} more segment" in plain(filled(prepare(PROBLEM, LAYOUT)))


def test_in_full_every_segment_with_wires_is_shown_with_its_diameter():
    shown = {row[0]: row[2] for row in rows(filled(prepare(PROBLEM, LAYOUT), in_full=True))}
    assert shown == {bundle.name: f"{bundle.diameter_mm:.1f}" for bundle in bundles(PROBLEM, LAYOUT)}


def test_without_bundle_factors_wires_are_counted_and_no_factor_is_named():
    alone = replace(PROBLEM, margins=replace(PROBLEM.margins, bundle=Bundling.NONE))
    assert {(row[4], row[5]) for row in rows(filled(prepare(alone, LAYOUT)))} == {("", "")}
