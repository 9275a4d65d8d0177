from __future__ import annotations

from allocator.layout import NOTHING_FOUND
from allocator.pareto_front import Tradeoff
from allocator.reporting.pictures import saving
from allocator.reporting.pictures.drawing import Disc
from allocator.reporting.pictures.marks import INK, PAPER
from allocator.reporting.pictures.staircase import staircase
from tests.reporting.pictures.shown import parts
from tests.reporting.test_tradeoffs import FOUND


def test_the_same_points_give_the_same_picture(tmp_path):
    for name in ("a.svg", "b.svg"):
        saving.write(staircase(FOUND), tmp_path / name)
    assert (tmp_path / "a.svg").read_bytes() == (tmp_path / "b.svg").read_bytes()


def test_proven_points_are_full_and_others_are_rings():
    *dots, proven, open_ = parts(staircase(FOUND), Disc)
    assert [dot.fill for dot in dots] == [INK if point.proven else PAPER for point in FOUND.points]
    assert (proven.fill, open_.fill) == (INK, PAPER)
    assert {"proven", "not proven"} <= {*staircase(FOUND).words}


def test_more_outputs_stand_further_right_and_less_copper_lower():
    dots = parts(staircase(FOUND), Disc)[: len(FOUND.points)]
    order = sorted(zip(FOUND.points, dots, strict=True), key=lambda one: one[0].outputs_used)
    assert len(order) > 1
    for (more, dot), (least, other) in zip(order[1:], order, strict=False):
        assert dot.at[0] > other.at[0]
        assert (dot.at[1] > other.at[1]) == (more.copper_g < least.copper_g)


def test_without_points_there_are_axes_alone():
    nothing = staircase(Tradeoff(problem="p", against="units", status=NOTHING_FOUND))
    assert "units fitted" in nothing.words
    assert not parts(nothing, Disc)
