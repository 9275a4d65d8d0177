from __future__ import annotations

import pytest

from allocator.checking import check
from allocator.evaluation.joints import join, splices_needed
from allocator.layout import PlacedWire, Splice
from tests.checking.builders import SHARED, circuit, layout, problem, shared_circuit


@pytest.mark.parametrize(
    ("meeting", "most", "splices"), [(2, 4, 0), (3, 4, 1), (4, 4, 1), (5, 4, 2), (6, 4, 2), (7, 4, 3), (5, 3, 3)]
)
def test_splices_that_join_so_many_wires(meeting, most, splices):
    assert splices_needed(meeting, most) == splices


def piece(role: str, start: str, end: str, *loads: str) -> PlacedWire:
    return PlacedWire(role=role, size="1 mm2", start=start, end=end, loads=loads)


TREE = (
    piece("trunk", "s", "p"),
    piece("branch", "p", "x", "one"),
    piece("trunk", "p", "q"),
    piece("branch", "q", "y", "two"),
    piece("branch", "q", "q", "three"),
)


def test_current_is_followed_from_the_output_to_every_load():
    joints = join(TREE, "s", ["one", "two", "three"])
    assert dict(joints.ways) == {"one": (0, 1), "two": (0, 2, 3), "three": (0, 2, 4)}
    assert dict(joints.meeting) == {"p": 3, "q": 3}
    assert set(dict(joints.downstream)[2]) == {"two", "three"}
    assert joints.loose == joints.lost == ()


def test_a_splice_at_the_site_is_fed_by_a_piece_of_its_own():
    wires = (piece("trunk", "s", "s"), piece("branch", "s", "x", "one"), piece("branch", "s", "s", "two"))
    joints = join(wires, "s", ["one", "two"])
    assert joints.starts == (0,)
    assert dict(joints.ways) == {"one": (0, 1), "two": (0, 2)}
    assert dict(joints.meeting) == {"s": 3}


def test_a_piece_that_starts_at_no_splice_is_loose_and_its_load_lost():
    joints = join((*TREE[:3], piece("branch", "r", "y", "two"), TREE[4]), "s", ["one", "two", "three"])
    assert joints.loose == (3,)
    assert joints.lost == ("two",)


def test_pieces_in_a_ring_end():
    wires = (piece("trunk", "s", "p"), piece("trunk", "p", "q"), piece("trunk", "q", "p"))
    assert join(wires, "s", ["one"]).lost == ("one",)


def test_two_wires_on_one_output_are_named():
    wires = (
        PlacedWire(role="branch", size="1.5 mm2", start="front", loads=("lamp",)),
        PlacedWire(role="branch", size="1.5 mm2", start="front", loads=("spot",)),
    )
    found = check(problem(*SHARED), layout(circuit("lamp spot", wires=wires))).violations
    assert [(v.rule, v.text) for v in found] == [("joined", "circuit lamp spot: the output has more than one wire")]


def test_a_load_that_nothing_feeds_is_named():
    lost = PlacedWire(role="branch", size="1.5 mm2", start="battery", loads=("spot",))
    found = check(problem(*SHARED), layout(shared_circuit(lost))).violations
    assert ("joined", "circuit lamp spot") in {(v.rule, v.object) for v in found}


def test_a_splice_on_a_wire_to_one_load_is_needless():
    found = check(problem(), layout(circuit(splices=(Splice(place="middle"),)))).violations
    assert [(v.rule, v.object, v.amount) for v in found] == [("splice count", "circuit lamp at middle", 1)]
