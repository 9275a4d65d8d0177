"""A revision in words."""

from __future__ import annotations

from allocator.advising.revising import Change, Revision, WireChange
from allocator.advising.revising.changes import MOVED, NEW, REMOVED
from allocator.showing.revisions import revised
from allocator.showing.text import plain
from tests.showing.samples import LAYOUT, PROBLEM


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
