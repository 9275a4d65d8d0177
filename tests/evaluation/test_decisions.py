"""What a layout made by hand leaves out is filled in; what it states stays."""

from __future__ import annotations

from allocator.checking import check
from allocator.evaluation.complete import complete
from allocator.layout import Contact, Feed, FittedUnit, PlacedWire, Splice
from allocator.problem import Bulkhead, ContactSet, Place, Run, Segment
from tests.checking.builders import (
    SEGMENTS,
    SHARED,
    back,
    box,
    circuit,
    heavy,
    layout,
    light,
    load,
    out,
    problem,
    replace,
    unit,
)


def completed(given=None, *circuits, **changes):
    return complete(given or problem(), layout(*circuits, **changes))


def test_class_bank_trip_and_type_follow_from_unit_and_pins():
    done = completed()
    assert done.units[0].type == "box"
    one = done.circuits[0]
    assert (one.output_class, one.bank, one.trip_a) == ("light", "left", 5.0)


def test_a_name_that_is_nearly_right_is_answered_with_the_right_one():
    named = {one.rule: one.text for one in check(problem(), layout(circuit("lampp", unit="mian"))).violations}
    assert (
        named["load known"]
        == "circuit lampp feeds 'lampp', which is not a load of the problem; 'lamp' is perhaps meant"
    )
    assert named["unit fitted"] == "unit mian feeds 1 circuits, but is not fitted; 'main' is perhaps meant"


def test_a_name_that_is_far_from_all_is_not_guessed_at():
    (text,) = (one.text for one in check(problem(), layout(circuit("xyzzy"))).violations if one.rule == "load known")
    assert text.endswith("which is not a load of the problem")


def test_one_size_is_for_outgoing_and_return():
    wires = completed().circuits[0].wires
    assert [(wire.role, wire.size, wire.start, wire.end) for wire in wires] == [
        ("out", "1.5 mm2", "front", "rear"),
        ("return", "1.5 mm2", "rear", "rear"),
    ]


def test_each_output_of_a_pair_has_its_wire():
    given = problem(load(needs=("bridge",)))
    assert [wire.role for wire in completed(given, circuit(pins="b1 b2")).circuits[0].wires] == ["out", "out"]


def test_a_missing_route_is_the_shortest():
    assert completed().circuits[0].wires[0].route == ("front", "middle", "rear")


def test_a_stated_route_stays():
    detour = ("front", "battery", "front", "middle", "rear")
    done = completed(None, circuit(wires=(out(route=detour),)))
    assert done.circuits[0].wires[0].route == detour
    assert done.circuits[0].wires[0].length_m == 3.3


def test_insulation_is_the_lowest_class_that_the_route_allows():
    hot = (*SEGMENTS[:2], replace(SEGMENTS[2], insulation_c=110.0))
    wires = completed(problem(segments=hot)).circuits[0].wires
    assert [wire.insulation_c for wire in wires] == [125.0, 100.0]


def test_a_missing_return_has_the_size_of_the_outgoing_wire():
    done = completed(None, circuit(wires=(out(size="2.5 mm2"),)))
    assert [(wire.role, wire.size) for wire in done.circuits[0].wires] == [("out", "2.5 mm2"), ("return", "2.5 mm2")]


def test_a_missing_return_of_a_parallel_group_carries_all_its_trips():
    given = problem(load(current_a=25.0))
    done = completed(given, circuit(pins="b1 b2", wires=(out(size="2.5 mm2"), out(size="2.5 mm2"))))
    # two trips of 17.5 A: 2.5 mm2 carries 26.5 A, 4 mm2 36 A
    assert [wire.size for wire in done.circuits[0].wires] == ["2.5 mm2", "2.5 mm2", "4 mm2"]


def test_a_shared_output_runs_along_the_shortest_tree():
    done = completed(problem(*SHARED), circuit("lamp spot"))
    pieces = [(wire.role, wire.start, wire.end, wire.loads) for wire in done.circuits[0].wires]
    assert sorted(pieces) == [
        ("branch", "middle", "middle", ("spot",)),
        ("branch", "middle", "rear", ("lamp",)),
        ("return", "middle", "rear", ("spot",)),
        ("return", "rear", "rear", ("lamp",)),
        ("trunk", "front", "middle", ("spot", "lamp")),
    ]
    assert done.circuits[0].splices == (Splice(place="middle"),)


def test_an_output_at_a_splice_has_its_own_piece():
    loads = (load("lamp", share="lights"), load("spot", "front", 2.0, share="lights"))
    done = completed(problem(*loads), circuit("lamp spot"))
    pieces = sorted((w.role, w.start, w.end, w.length_m) for w in done.circuits[0].wires if w.role != "return")
    assert pieces == [
        ("branch", "front", "front", 0.3),
        ("branch", "front", "rear", 2.3),
        ("trunk", "front", "front", 0.3),
    ]


def test_trunks_are_given_the_loads_behind_them():
    wires = (
        PlacedWire(role="trunk", size="1.5 mm2", start="front", end="middle"),
        PlacedWire(role="branch", size="1.5 mm2", start="middle", loads=("lamp",)),
        PlacedWire(role="branch", size="1.5 mm2", start="middle", loads=("spot",)),
    )
    done = completed(problem(*SHARED), circuit("lamp spot", wires=wires, splices=(Splice(place="middle"),)))
    assert set(done.circuits[0].wires[0].loads) == {"lamp", "spot"}
    assert check(problem(*SHARED), done).clean


def test_returns_of_a_shared_output_find_their_loads_by_place():
    wires = (
        PlacedWire(role="trunk", size="1.5 mm2", start="front", end="middle"),
        PlacedWire(role="branch", size="1.5 mm2", start="middle", loads=("lamp",)),
        PlacedWire(role="branch", size="1.5 mm2", start="middle", loads=("spot",)),
        back(start="middle"),
        back(start="rear"),
    )
    done = completed(problem(*SHARED), circuit("lamp spot", wires=wires, splices=(Splice(place="middle"),)))
    assert [wire.loads for wire in done.circuits[0].wires[3:]] == [("spot",), ("lamp",)]


def test_a_missing_feed_is_the_lightest_that_serves():
    currents = {"b1": 16.0, "b2": 16.0, "a1": 8.0, "a2": 8.0}
    given = problem(*(load(pin, "middle", current) for pin, current in currents.items()))
    done = complete(given, layout(*(circuit(pin, pin, "2.5 mm2") for pin in currents)))
    feed = done.units[0].feed
    # 48 A ask for 60 A; 6 mm2 carries 47 A, 10 mm2 66 A
    assert (feed.size, feed.fuse_a, feed.route, feed.length_m) == ("10 mm2", 60.0, ("battery", "front"), 0.8)


def test_no_feed_is_made_up_where_none_serves():
    given = problem(margins={"feed_drop": 0.00001})
    assert completed(given).units[0].feed is None
    assert [v.text for v in check(given, layout()).violations] == [
        "unit main has no feed, and no size of table 'test cable' serves its 4 A"
    ]


def test_a_stated_feed_is_only_filled_in():
    done = completed(units=(FittedUnit(name="main", site="front", feed=Feed(size="16 mm2")),))
    feed = done.units[0].feed
    assert (feed.size, feed.fuse_a, feed.insulation_c) == ("16 mm2", 5.0, 100.0)


def test_spares_are_taken_from_the_free_outputs_bank_by_bank():
    outputs = (light(pins=("a1", "a2")), light(bank="right", pins=("c1", "c2")), heavy())
    given = problem(unit_types=(box(outputs=outputs),), units=(unit(spare=(("light", 3),)),))
    assert completed(given).units[0].spare == (("light", "left", 1), ("light", "right", 2))


def test_a_measured_wire_without_a_network_runs_straight():
    at = {"x_m": 0.0, "y_m": 0.0, "z_m": 0.0}
    bare = (Place(name="battery", **at), Place(name="front", **at), Place(name="rear", ambient_c=60.0))
    runs = (Run(load="lamp", site="front", length_m=3.0),)
    given = problem(places=bare, segments=(), runs=runs, units=(unit(sites=("front",)),))
    assert check(given, layout()).clean
    wire = completed(given).circuits[0].wires[0]
    assert (wire.route, wire.length_m) == (("front", "rear"), 3.0)


WALL = (SEGMENTS[0], replace(SEGMENTS[1], bulkhead="wall"), SEGMENTS[2])


def contact_sets(*sets: ContactSet) -> list[tuple[str, int]]:
    """The contact set of each outgoing wire of a light and a heavier lamp, both through the wall."""
    loads = (load("small"), load("large", current_a=7.0))
    given = problem(*loads, segments=WALL, bulkheads=(Bulkhead(name="wall", contacts=sets),))
    done = complete(given, layout(circuit("small", "a1", "1 mm2"), circuit("large", "a2", "2.5 mm2")))
    return [(one.name, contact.set) for one in done.circuits for wire in one.wires for contact in wire.contacts]


def test_contacts_are_dealt_so_that_every_wire_has_one():
    # the small wire must leave the wide set to the large one
    wide, narrow = ContactSet(count=1, wire_mm2=(0.5, 4.0)), ContactSet(count=1, wire_mm2=(0.5, 1.5))
    assert contact_sets(wide, narrow) == [("small", 1), ("large", 0)]


def test_a_contact_that_cannot_carry_the_current_is_not_taken():
    weak, strong = ContactSet(count=2, wire_mm2=(0.5, 4.0), continuous_a=5.0), ContactSet(count=2, wire_mm2=(0.5, 4.0))
    assert contact_sets(weak, strong) == [("small", 0), ("large", 1)]


def test_a_wire_for_which_none_is_left_goes_without():
    assert contact_sets(ContactSet(count=1, wire_mm2=(0.5, 4.0))) == [("small", 0)]


def test_stated_contacts_are_taken_first():
    given = problem(
        load("lamp"),
        load("fan"),
        segments=WALL,
        bulkheads=(
            Bulkhead(
                name="wall",
                contacts=(ContactSet(count=1, wire_mm2=(0.5, 4.0)), ContactSet(count=1, wire_mm2=(0.5, 4.0))),
            ),
        ),
    )
    named = out(contacts=(Contact(bulkhead="wall", set=0),))
    done = complete(given, layout(circuit("lamp"), circuit("fan", "a2", wires=(named,))))
    assert done.circuits[0].wires[0].contacts == (Contact(bulkhead="wall", set=1),)


def test_every_crossing_has_its_contact():
    twice = (*WALL[:2], replace(WALL[2], bulkhead="wall"))
    given = problem(
        segments=twice, bulkheads=(Bulkhead(name="wall", contacts=(ContactSet(count=5, wire_mm2=(0.5, 4.0)),)),)
    )
    assert len(completed(given).circuits[0].wires[0].contacts) == 2


def test_more_than_one_segment_between_places_is_told_apart_by_length():
    given = problem(segments=(*SEGMENTS, Segment(start="front", end="middle", length_m=1.0)))
    assert completed(given).circuits[0].wires[0].length_m == 2.3
