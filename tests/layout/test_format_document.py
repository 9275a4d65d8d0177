"""The page on the layout file: every key of it, and no other; its examples are read and checked."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import pytest

from allocator.layout import (
    Circuit,
    Contact,
    DirectCircuit,
    Feed,
    FittedUnit,
    GivenRun,
    Layout,
    LayoutError,
    PlacedWire,
    Splice,
)
from tests.cli.example import EXAMPLE, fenced
from tests.cli.running import allocator
from tests.paths import PROBLEMS

TEXT = (PROBLEMS / "LAYOUT.md").read_text(encoding="utf-8")
BY_HAND, WORKSHOP = fenced("json", TEXT)
ONE_SIZE = {"size"}
"""What stands in place of the wires of a circuit: read, never written."""

CONTACT = Contact(bulkhead="wall", set=0)
WIRE = PlacedWire(role="out", size="1 mm2", contacts=(CONTACT,))
WHOLE = json.loads(
    Layout(
        problem="any",
        units=(FittedUnit(name="u", site="s", feed=Feed(size="10 mm2"), spare=(("fine", None, 1),)),),
        circuits=(Circuit(name="c", loads=("l",), unit="u", pins=("1",), wires=(WIRE,), splices=(Splice(place="s"),)),),
        direct=(DirectCircuit(load="d", source="b", wires=(WIRE,)),),
        given=(GivenRun(wire="g", size="1 mm2"),),
    ).to_json()
)
CIRCUIT, UNIT, DIRECT = WHOLE["circuits"][0], WHOLE["units"][0], WHOLE["direct"][0]
KEYS = {
    "Layout": {*WHOLE},
    "Unit": {*UNIT},
    "Feed": {*UNIT["feed"]},
    "Circuit": {*CIRCUIT} | ONE_SIZE,
    "Wire": {*CIRCUIT["wires"][0]},
    "Contact": {*CIRCUIT["wires"][0]["contacts"][0]},
    "Direct": {*DIRECT} | ONE_SIZE,
    "Given": {*WHOLE["given"][0]},
}


@pytest.mark.parametrize("title", KEYS)
def test_each_object_lists_its_keys_and_no_other(title):
    (section,) = re.findall(rf"^## {title}\n(.*?)(?=^#|\Z)", TEXT, flags=re.MULTILINE | re.DOTALL)
    cells = re.findall(r"^\| (`[^|]+`) \|", section, flags=re.MULTILINE)
    named = [key for cell in cells for key in re.findall(r"`([^`]+)`", cell)]
    assert sorted(named) == sorted(KEYS[title])


@pytest.mark.parametrize(("key", "own"), [("spare", UNIT["spare"][0]), ("splices", CIRCUIT["splices"][0])])
def test_the_keys_of_small_objects_stand_where_they_are_listed(key, own):
    row = next(line for line in TEXT.split("\n") if line.startswith(f"| `{key}`"))
    assert all(f'"{name}": ...' in row for name in own)


def test_the_first_example_is_the_file_beside_the_worked_example():
    assert (EXAMPLE / "by-hand.json").read_text(encoding="utf-8") == BY_HAND


def test_the_check_finds_what_a_hand_overlooked():
    result = allocator("check", EXAMPLE, EXAMPLE / "by-hand.json")
    assert result.code == 1, result.out
    assert "\n1 violation of the rules:\n" in result.out
    assert "return wire" in result.out


def test_the_second_example_keeps_every_rule(tmp_path):
    assert allocator("new", tmp_path / "workshop").code == 0
    (tmp_path / "layout.json").write_text(WORKSHOP, encoding="utf-8")
    result = allocator("check", tmp_path / "workshop", tmp_path / "layout.json")
    assert (result.code, "Clean: the layout breaks no rule." in result.out) == (0, True), result.out


def test_one_size_and_wires_do_not_go_together():
    layout = json.loads(BY_HAND)
    layout["circuits"][0]["wires"] = [{"size": "1 mm2"}]
    with pytest.raises(LayoutError, match="'size' stands beside 'wires'"):
        Layout.from_json(json.dumps(layout))


@pytest.mark.parametrize("status", ["optimal", "feasible", "hand-made"])
def test_each_status_that_is_named_is_read(status):
    layout = Layout.from_json(BY_HAND)
    assert Layout.from_json(replace(layout, status=status).to_json()).status == status
    assert f"`{status}`" in TEXT
