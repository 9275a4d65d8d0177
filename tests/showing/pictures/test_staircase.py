from __future__ import annotations

from allocator.advising.tradeoff import Tradeoff
from allocator.layout import NOTHING_FOUND
from allocator.showing.pictures import saving
from allocator.showing.pictures.staircase import staircase
from tests.showing.test_tradeoffs import FOUND


def test_the_same_points_give_the_same_picture(tmp_path):
    for name in ("a.svg", "b.svg"):
        saving.write(staircase(FOUND), tmp_path / name)
    assert (tmp_path / "a.svg").read_bytes() == (tmp_path / "b.svg").read_bytes()


def test_proven_points_are_full_and_others_are_rings():
    marks = {line.get_label(): line for line in staircase(FOUND).axes[0].lines}
    assert marks["proven"].get_markerfacecolor() == "black"
    assert marks["not proven"].get_markerfacecolor() == "white"
    assert marks["proven"].get_xydata().tolist() == [[7.0, 100.0]]


def test_without_points_there_are_axes_alone():
    nothing = staircase(Tradeoff(problem="p", against="units", status=NOTHING_FOUND))
    assert nothing.axes[0].get_xlabel() == "units fitted"
    assert nothing.axes[0].get_legend() is None
