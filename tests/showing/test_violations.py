from __future__ import annotations

import json

import pytest

from allocator.showing.text import plain
from allocator.showing.violations import as_json, checked
from tests.showing.samples import LAYOUT, PROBLEM

checking = pytest.importorskip("allocator.checking.report")

FOUND = checking.Violation(
    rule="trip", object="heater", amount=1.25, unit="A", text="trip 14 A is 1.25 A above what 1 mm2 carries"
)
BROKEN = checking.Report(violations=(FOUND,), layout=LAYOUT)
CLEAN = checking.Report(violations=(), layout=LAYOUT)


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
            "rule": "trip", "object": "heater", "amount": 1.25, "unit": "A",
            "text": "trip 14 A is 1.25 A above what 1 mm2 carries",
        }
    ]
