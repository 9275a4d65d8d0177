from __future__ import annotations

from allocator.reporting import frames
from tests.reporting.samples import LAYOUT, PROBLEM


def test_a_layout_opens_as_tables():
    assert frames.circuits(LAYOUT).shape[0] == 6
    assert frames.circuits(LAYOUT, PROBLEM)["stock"].iloc[0] == "A 17"
    assert frames.units(LAYOUT)["feed_fuse_a"].tolist() == [60.0]


def test_wire_lengths_can_be_summed():
    wires = frames.wires(LAYOUT)
    assert round(wires.loc[~wires["role"].isin(["feed", "given"]), "length_m"].sum(), 3) == 20.8
