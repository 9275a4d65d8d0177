"""Layout files from a hand: what would be passed over is refused, for a check would call it clean unseen."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from allocator.layout import FORMAT, Layout, LayoutError

LAMP = {"loads": ["lamp"], "unit": "main", "pins": ["1"]}


def read(circuit: dict[str, Any], **besides: Any) -> Layout:
    return Layout.from_json(json.dumps({"format": FORMAT, "circuits": [circuit], **besides}))


def refused(text: str) -> Any:
    return pytest.raises(LayoutError, match=f"^{re.escape(text)}$")


def test_one_size_does_for_all_wires_of_a_circuit():
    (circuit,) = read({**LAMP, "size": "1 mm2"}).circuits
    assert [(wire.role, wire.size) for wire in circuit.wires] == [("any", "1 mm2")]


def test_a_size_beside_wires_is_refused():
    remedy = "Change those, or leave 'wires' out."
    with refused(f"circuits 1: 'size' stands beside 'wires', which have sizes of their own. {remedy}"):
        read({**LAMP, "size": "1 mm2", "wires": [{"role": "out", "size": "2.5 mm2"}]})


def test_a_key_that_is_nearly_right_is_refused():
    with refused("circuits 1: 'trip' is not a known key. Write 'trip_a' if that is meant."):
        read({**LAMP, "trip": 5})
    with refused("layout: 'unit' is not a known key. Write 'units' if that is meant."):
        read(LAMP, unit=[])
    with refused("units 1 (main): 'room' is not a known key. "
                 "Name one of the 6 there are: 'current_a', 'feed', 'name', 'site', 'spare', 'type'."):  # fmt: skip
        read(LAMP, units=[{"name": "main", "room": "wall"}])


def test_a_file_without_a_format_is_told_how_to_begin():
    with refused(f"layout: 'format' is missing. Give a layout.json file, or begin with \"format\": \"{FORMAT}\"."):
        Layout.from_json("{}")
