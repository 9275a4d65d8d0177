"""A complete layout with one decision changed to a wrong one is never clean."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest

from allocator.checking import check
from allocator.layout import Layout
from tests.checking.rich import rich_complete, rich_problem

PROBLEM = rich_problem()
DATA = json.loads(rich_complete().to_json()) | {"status": "feasible"}
CIRCUITS = range(len(DATA["circuits"]))
SIZES = sorted({wire.size for wire in PROBLEM.wires.wires})

Damage = Callable[[dict[str, Any]], None]


def other_pin(circuit: dict[str, Any]) -> None:
    circuit["pins"][0] = "z9"


def taken_pin(circuit: dict[str, Any]) -> None:
    first = next(c for c in DATA["circuits"] if c["unit"] == circuit["unit"] and c["pins"] != circuit["pins"])
    circuit["pins"][0] = first["pins"][0]


def higher_trip(circuit: dict[str, Any]) -> None:
    circuit["trip_a"] += 0.5


def lower_trip(circuit: dict[str, Any]) -> None:
    circuit["trip_a"] -= 0.5


def odd_trip(circuit: dict[str, Any]) -> None:
    circuit["trip_a"] += 0.1


def other_size(circuit: dict[str, Any]) -> None:
    wire = circuit["wires"][-1]
    wire["size"] = SIZES[SIZES.index(wire["size"]) - 1]


def leap(circuit: dict[str, Any]) -> None:
    circuit["wires"][0]["route"].insert(1, "battery")


def other_end(circuit: dict[str, Any]) -> None:
    circuit["wires"][0]["to"] = "battery"


def better_insulation(circuit: dict[str, Any]) -> None:
    circuit["wires"][0]["insulation_c"] = 125.0


def no_last_wire(circuit: dict[str, Any]) -> None:
    del circuit["wires"][-1]


def last_wire_twice(circuit: dict[str, Any]) -> None:
    circuit["wires"].append(circuit["wires"][-1])


def other_unit(circuit: dict[str, Any]) -> None:
    circuit["unit"] = "aux" if circuit["unit"] == "main" else "main"


def load_left_out(circuit: dict[str, Any]) -> None:
    circuit["loads"][-1] = "nothing"


def splice_more(circuit: dict[str, Any]) -> None:
    circuit["splices"].append({"place": "middle", "count": 1})


def contact_more(circuit: dict[str, Any]) -> None:
    circuit["wires"][0]["contacts"].append({"bulkhead": "wall", "set": 1})


DAMAGES: list[Damage] = [
    other_pin, taken_pin, higher_trip, lower_trip, odd_trip, other_size, leap, other_end, better_insulation,
    no_last_wire, last_wire_twice, other_unit, load_left_out, splice_more, contact_more,
]  # fmt: skip


@pytest.mark.parametrize("circuit", CIRCUITS)
@pytest.mark.parametrize("damage", DAMAGES)
def test_a_wrong_decision_is_found(damage, circuit):
    data = copy.deepcopy(DATA)
    damage(data["circuits"][circuit])
    assert check(PROBLEM, Layout.from_json(json.dumps(data))).violations


@pytest.mark.parametrize(
    ("key", "value"), [("site", "rear"), ("site", "nowhere"), ("name", "other"), ("type", "other")]
)
@pytest.mark.parametrize("unit", [0, 1])
def test_a_unit_elsewhere_is_found(unit, key, value):
    data = copy.deepcopy(DATA)
    data["units"][unit][key] = value
    assert check(PROBLEM, Layout.from_json(json.dumps(data))).violations


@pytest.mark.parametrize(
    ("key", "value"), [("size", "16 mm2"), ("fuse_a", 100.0), ("fuse_a", 1.0), ("route", ["front"])]
)
@pytest.mark.parametrize("unit", [0, 1])
def test_a_wrong_feed_is_found(unit, key, value):
    data = copy.deepcopy(DATA)
    data["units"][unit]["feed"][key] = value
    assert check(PROBLEM, Layout.from_json(json.dumps(data))).violations


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("load", "lamp"), ("load", "nothing"), ("source", "nowhere"), ("source", ""), ("fuse_a", 20.0),
        ("fuse_a", 10.0), ("fuse_a", 15.5), ("fuse_a", None), ("wires", []), ("current_a", 13.0), ("drop_percent", 1.0),
    ],
)  # fmt: skip
def test_a_wrong_direct_load_is_found(key, value):
    data = copy.deepcopy(DATA)
    data["direct"][0][key] = value
    assert check(PROBLEM, Layout.from_json(json.dumps(data))).violations


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("size", "1 mm2"), ("size", "none"), ("from", "front"), ("to", "middle"), ("route", ["battery", "rear"]),
        ("contacts", []), ("insulation_c", 125.0), ("factor", 0.9), ("loads", []), ("role", "return"),
    ],
)  # fmt: skip
def test_a_wrong_wire_of_a_direct_load_is_found(key, value):
    data = copy.deepcopy(DATA)
    data["direct"][0]["wires"][0][key] = value
    assert check(PROBLEM, Layout.from_json(json.dumps(data))).violations


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("wire", "other"), ("size", "1.5 mm2"), ("cores", 1), ("route", ["battery", "rear"]), ("route", []),
        ("insulation_c", 125.0), ("length_m", 2.5), ("copper_g", 24.892), ("factor", 0.9), ("contacts", []),
        ("contacts", [{"bulkhead": "wall", "set": 0}]), ("contacts", [{"bulkhead": "wall", "set": 1}] * 2),
    ],
)  # fmt: skip
def test_a_wrong_given_wire_is_found(key, value):
    data = copy.deepcopy(DATA)
    data["given"][0][key] = value
    assert check(PROBLEM, Layout.from_json(json.dumps(data))).violations


@pytest.mark.parametrize("listed", ["direct", "given"])
def test_what_is_not_listed_or_twice_is_found(listed):
    for changed in ([], DATA[listed] * 2):
        data = copy.deepcopy(DATA) | {listed: changed}
        assert check(PROBLEM, Layout.from_json(json.dumps(data))).violations
