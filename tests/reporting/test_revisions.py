"""A revision in words."""

from __future__ import annotations

from allocator.reporting.revisions import revised
from allocator.reporting.text import plain
from allocator.revising import Change, Revision, WireChange
from allocator.revising.what_changed import MOVED, NEW, REMOVED
from tests.reporting.samples import LAYOUT, PROBLEM


def cable(what: str, size: str) -> WireChange:
    return WireChange(
        what=what, circuit="feed of front", unit="front", pins=(), role="feed", loads=(), start="battery", end="shelf",
        size=size, length_m=2.0, copper_g=100.0,
    )  # fmt: skip


def test_a_feed_that_changes_its_cable_alone_shows_both_sizes():
    revision = Revision(
        problem="van", status="feasible", move_g=60.0, max_moves=None, resite=False, layout=LAYOUT, objective_g=1.0,
        changes=(Change(what=MOVED, of="feed of front", unit_before="shelf", unit="shelf"),),
        wires=(cable(NEW, "25 mm2"), cable(REMOVED, "16 mm2")),
    )  # fmt: skip
    assert "feed of front  shelf, 16 mm2  shelf, 25 mm2\n" in plain(revised(PROBLEM, revision))


def lamp_wire(what: str, role: str, size: str) -> WireChange:
    return WireChange(
        what=what, circuit="lamp", unit="front", pins=("1",), role=role, loads=("lamp",), start="shelf", end="nose",
        size=size, length_m=2.0, copper_g=10.0,
    )  # fmt: skip


def moved_lamp(*, pins: tuple[str, ...]) -> str:
    revision = Revision(
        problem="van", status="feasible", move_g=60.0, max_moves=None, resite=False, layout=LAYOUT, objective_g=1.0,
        changes=(
            Change(what=MOVED, of="lamp", unit_before="front", pins_before=("1",), unit="front", pins=pins),
        ),
        wires=(
            lamp_wire(NEW, "out", "2 mm2"), lamp_wire(NEW, "return", "3 mm2"),
            lamp_wire(REMOVED, "out", "0.5 mm2"), lamp_wire(REMOVED, "return", "1 mm2"),
        ),
    )  # fmt: skip
    return plain(revised(PROBLEM, revision))


def test_a_load_that_changes_its_wire_alone_shows_both_sizes():
    assert "lamp  front 1, 0.5 mm2  front 1, 2 mm2\n" in moved_lamp(pins=("1",))


def test_a_load_that_changes_its_output_shows_outputs_alone():
    assert "lamp  front 1       front 2\n" in moved_lamp(pins=("2",))
