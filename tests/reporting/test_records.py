from __future__ import annotations

from dataclasses import replace

from allocator.layout import Contact
from allocator.reporting.records import circuits, units, wires
from tests.reporting.samples import CIRCUITS, LAYOUT, PROBLEM


def test_every_circuit_has_a_record_direct_ones_last():
    records = circuits(LAYOUT, PROBLEM).records()
    assert [record["circuit"] for record in records] == [
        "pump [x]",
        "heater",
        "window",
        "lamp 1 + lamp 2",
        "dimmed",
        "radio",
    ]
    assert (records[1]["pins"], records[1]["trip_a"]) == ("H1; H2", 14.0)
    assert (records[-1]["unit"], records[-1]["source"], records[-1]["current_a"]) == (None, "main", 3.0)
    assert [(r["trip_a"], r["fuse_a"]) for r in records[-2:]] == [(2.5, None), (None, 5.0)]


def test_columns_of_the_user_are_carried_over_and_never_hide_our_own():
    record = circuits(LAYOUT, PROBLEM).records()[0]
    assert record["stock"] == "A 17"
    assert record["class"] == "light"
    assert record["load class"] == "odd"


def test_every_piece_of_wire_has_a_record_feeds_too():
    records = wires(LAYOUT).records()
    pieces = sum(len(circuit.wires) for circuit in CIRCUITS)
    assert len(records) == pieces + 2 + 1 + 2
    assert records[0]["pin"] == "S1"
    feed = records[-3]
    assert (feed["circuit"], feed["from"], feed["to"]) == ("feed of front", "box", "warm")


def test_every_core_of_a_given_wire_has_a_record_with_its_part_of_the_copper():
    cores = [record for record in wires(LAYOUT).records() if record["role"] == "given"]
    assert [(core["circuit"], core["length_m"], core["copper_g"]) for core in cores] == [("data pair", 2.3, 7.2)] * 2


def test_parallel_wires_name_the_pin_that_each_belongs_to():
    assert [r["pin"] for r in wires(LAYOUT).records() if r["circuit"] == "heater"] == ["H1", "H2", ""]


def test_every_piece_of_wire_names_what_it_sits_behind():
    behind = {r["label"]: (r["trip_a"], r["fuse_a"]) for r in wires(LAYOUT).records()}
    assert behind["front S1"] == behind["pump [x] return"] == (5.5, None)
    # the return of two outputs in parallel sees both trips, the wires of a bridge pair one each
    assert behind["front H1"] == behind["front H2"] == (14.0, None)
    assert behind["heater return"] == (28.0, None)
    assert behind["front H3"] == behind["front H4"] == (7.5, None)
    assert behind["direct radio"] == behind["radio return"] == (None, 5.0)
    assert behind["feed front"] == (None, 60.0)
    assert behind["given data pair/1"] == (None, None)


def test_the_factor_of_every_piece_of_wire_is_listed():
    wire = replace(CIRCUITS[0].wires[0], factor=0.6)
    layout = replace(LAYOUT, circuits=(replace(CIRCUITS[0], wires=(wire,)),))
    assert [r["factor"] for r in wires(layout).records()] == [0.6, 1.0, 1.0, 1.0, 1.0, 1.0]


def test_contacts_of_a_bulkhead_are_named():
    wire = replace(CIRCUITS[0].wires[0], contacts=(Contact(bulkhead="firewall", set=1),))
    layout = replace(LAYOUT, circuits=(replace(CIRCUITS[0], wires=(wire,)),))
    assert wires(layout).records()[0]["contacts"] == "firewall 1"


def test_a_unit_has_a_column_per_condition():
    record = units(LAYOUT).records()[0]
    assert (record["current_a day"], record["current_a night"], record["outputs_spare"]) == (27.0, 12.0, 1)


def test_units_by_hand_may_say_nothing_of_some_conditions():
    bare = replace(LAYOUT.units[0], name="bare", current_a=(("night", 1.0),))
    found = units(replace(LAYOUT, units=(LAYOUT.units[0], bare))).records()
    assert [(one["current_a day"], one["current_a night"]) for one in found] == [(27.0, 12.0), (None, 1.0)]
