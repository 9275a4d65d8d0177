from __future__ import annotations

from dataclasses import replace

from allocator.showing.labels import circuit_labels, given_labels
from allocator.showing.records import wire_records
from tests.showing.samples import CIRCUITS, LAYOUT


def test_a_wire_at_a_pin_is_called_by_unit_and_pin_all_others_have_a_number():
    assert circuit_labels(CIRCUITS[1]) == ("front H1", "front H2", "front H1/1")
    assert circuit_labels(CIRCUITS[3]) == tuple(f"front S2/{n}" for n in range(1, 6))


def test_no_two_pieces_of_wire_have_one_label():
    labels = [record["label"] for record in wire_records(LAYOUT)]
    assert len(labels) == len(set(labels))


def test_cores_are_numbered_where_there_are_several():
    assert given_labels(LAYOUT.given[0]) == ("given data pair/1", "given data pair/2")
    assert given_labels(replace(LAYOUT.given[0], cores=1)) == ("given data pair",)
