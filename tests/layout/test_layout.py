"""Layout files from a hand: what would be passed over is refused, for a check would call it clean unseen."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from allocator.layout import Layout, LayoutError
from allocator.layout.layout import FORMAT

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
    with refused(f'layout: \'format\' is missing. Give a layout.json file, or begin with "format": "{FORMAT}".'):
        Layout.from_json("{}")


WIRE = {"role": "out", "size": "1 mm2"}


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('{"format": 1, "format": 2}', "layout: 'format' appears twice in one object, and one would be ignored."),
        ('{"circuits": [{"pins": ["1"], "pins": ["2"]}]}', "layout: 'pins' appears twice in one object"),
        ('{"gap": NaN}', "layout: NaN is not a number in JSON. Give a layout.json file."),
        ('{"gap": -Infinity}', "layout: -Infinity is not a number in JSON."),
        ('{"problem":\n "\\ud800"}', "line 2: an escape such as \\ud800 is half a letter. Give a layout.json file."),
        ("[" * 100_000, "layout: not JSON that can be read."),
        ('{"gap": ' + "9" * 5000 + "}", "layout: not JSON that can be read."),
        ("{", "line 1: not JSON (Expecting property name enclosed in double quotes)."),
    ],
)
def test_text_of_which_a_part_would_be_lost_is_refused(text, says):
    with pytest.raises(LayoutError) as refusal:
        Layout.from_json(text)
    assert str(refusal.value).startswith(says)


def test_a_letter_may_be_written_as_a_pair_of_escapes():
    assert Layout.from_json(f'{{"format": "{FORMAT}", "problem": "\\ud83d\\ude90"}}').problem == "🚐"


@pytest.mark.parametrize(
    ("besides", "where"),
    [
        ({"problem": {"name": "x", "sha": "y"}}, "problem: 'sha'"),
        ({"units": [{"name": "u", "site": "s", "feed": {"size": "6 mm2", "fuse": 5}}]}, "units 1 (u) feed: 'fuse'"),
        ({"units": [{"name": "u", "site": "s", "spare": [{"class": "c", "number": 1}]}]}, "spare 1: 'number'"),
        ({"direct": [{"load": "x", "fuse": 5}]}, "direct 1: 'fuse'"),
        ({"given": [{"wire": "x", "core": 5}]}, "given 1: 'core'"),
        ({"circuits": [{**LAMP, "wires": [{**WIRE, "length": 5}]}]}, "wires 1: 'length'"),
        ({"circuits": [{**LAMP, "wires": [{**WIRE, "contacts": [{"bulkhead": "b", "pin": 1}]}]}]}, "contacts 1: 'pin'"),
        ({"circuits": [{**LAMP, "splices": [{"place": "b", "number": 1}]}]}, "splices 1: 'number'"),
    ],
)
def test_an_unknown_key_is_refused_at_every_depth(besides, where):
    with pytest.raises(LayoutError) as refusal:
        Layout.from_json(json.dumps({"format": FORMAT, **besides}))
    assert str(refusal.value).startswith(f"{where} is not a known key.")


@pytest.mark.parametrize(
    "besides",
    [
        {"problem": 5}, {"problem": {"name": []}}, {"made_with": {"x": {"y": 1}}}, {"listed": {"x": {"y": 1}}},
        {"listed": {"x": 1e300}}, {"units": {}}, {"units": ""}, {"units": [5]}, {"circuits": 0}, {"defaults": {}},
        {"units": [{"name": "u", "site": "s", "current_a": []}]}, {"totals": []}, {"objective_g": "5"},
        {"objective_g": True}, {"given": [{"wire": "x", "cores": -1}]}, {"format": 10**400},
    ],
    ids=str,
)  # fmt: skip
def test_a_value_of_a_wrong_type_is_refused_in_one_sentence(besides):
    # the text of the number is made by hand: Python writes no such number
    text = json.dumps({"format": FORMAT, **besides}) if besides.get("format", 0) == 0 else '{"format": 1e400}'
    with pytest.raises(LayoutError) as refusal:
        Layout.from_json(text)
    assert len(str(refusal.value)) < 200


def test_a_circuit_does_not_bear_the_name_of_a_load_that_another_feeds():
    horn = {"loads": ["horn"], "unit": "main", "pins": ["2"]}
    says = "has the name of load 'horn', which it does not feed. Name it after its own loads, or leave 'name' out."
    with refused(f"circuits 1 (horn): {says}"):
        Layout.from_json(json.dumps({"format": FORMAT, "circuits": [{**LAMP, "name": "horn"}, horn]}))
    with refused(f"circuits 1 (horn): {says}"):
        read({**LAMP, "name": "horn"}, direct=[{"load": "horn", "source": "battery"}])
    assert read({**LAMP, "name": "deck"}, direct=[{"load": "horn", "source": "battery"}]).circuits[0].name == "deck"


def test_a_list_without_end_is_refused():
    with pytest.raises(LayoutError, match=r"'circuits' lists more than 100,000 objects. Check the file."):
        Layout.from_json(f'{{"format": "{FORMAT}", "circuits": [{",".join(["{}"] * 100_001)}]}}')


@pytest.mark.parametrize("value", [5, 0.5, True, "horn", {}])
@pytest.mark.parametrize("key", ["circuits", "direct", "given", "units"])
def test_a_value_in_the_place_of_a_list_is_refused(key, value):
    with pytest.raises(LayoutError, match=f"'{key}' is not a list. Give a list."):
        Layout.from_json(json.dumps({"format": "allocator-layout/1", key: value}))
