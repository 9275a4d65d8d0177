from __future__ import annotations

import json
from dataclasses import replace

import pytest

from allocator.checking import check
from allocator.evaluation.prepare import prepare
from allocator.reporting.text import plain
from allocator.reporting.violations import as_json, checked
from tests.reporting import warm
from tests.reporting.samples import LAYOUT, PROBLEM

checking = pytest.importorskip("allocator.checking.report")

FOUND = checking.Violation(
    rule="trip", object="heater", amount=1.25, unit="A", text="trip 14 A is 1.25 A above what 1 mm2 carries"
)
BROKEN = checking.Report(violations=(FOUND,), layout=LAYOUT, stated=prepare(PROBLEM, LAYOUT))
CLEAN = checking.Report(violations=(), layout=LAYOUT, stated=prepare(PROBLEM, LAYOUT))


def test_a_clean_layout_is_said_to_be_clean():
    assert "Clean: the layout breaks no rule.\n" in plain(checked(PROBLEM, CLEAN))


def test_a_violation_shows_rule_object_and_amount():
    lines = plain(checked(PROBLEM, BROKEN)).splitlines()
    assert lines[1] == "1 violation of the rules:"
    row = next(line for line in lines if line.startswith("trip "))
    assert row.split()[:4] == ["trip", "heater", "1.25", "A"]


def test_totals_and_cautions_follow():
    text = plain(checked(PROBLEM, BROKEN))
    assert text.index("1 violation") < text.index("Totals") < text.index("Cautions")


def test_programs_get_every_field():
    body = json.loads(as_json(PROBLEM, BROKEN))
    assert body["clean"] is False
    assert body["violations"] == [
        {
            "rule": "trip",
            "object": "heater",
            "amount": 1.25,
            "unit": "A",
            "text": "trip 14 A is 1.25 A above what 1 mm2 carries",
        }
    ]


def test_every_bundle_is_listed_with_its_heat():
    report = check(warm.CART, warm.LAYOUT)
    assert "Warmest bundles\n" in plain(checked(warm.CART, report))
    body = json.loads(as_json(warm.CART, report))
    assert [one["name"] for one in body["bundles"]] == ["battery - front", "front - middle", "middle - rear"]
    night = {one["condition"]: one for one in body["bundles"][2]["warmth"]}["night"]
    # the figures are those of tests/reporting/lists/test_bundles.py
    assert night["heat_w_m"] + night["worst_w_m"] == pytest.approx(7.5955, abs=1e-4)
    assert night["share"] == pytest.approx(0.79356, abs=1e-5)
    assert body["bundles"][2]["below"] == ["circuit pump, out wire"]


def test_a_bundle_that_may_give_nothing_has_no_share_for_programs():
    segments = (*warm.CART.segments[:2], replace(warm.CART.segments[2], ambient_c=100.0))
    hot = replace(warm.CART, segments=segments)
    body = json.loads(as_json(hot, check(hot, warm.LAYOUT)))
    assert {one["share"] for one in body["bundles"][2]["warmth"]} == {None}
