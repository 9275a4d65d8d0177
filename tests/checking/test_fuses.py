"""Fuses of feeds against the starts behind them."""

from __future__ import annotations

from typing import Any

from allocator.checking import check
from allocator.evaluation.complete import complete
from allocator.layout import Feed, FittedUnit
from tests.checking.builders import box, circuit, heavy, layout, light, load, problem, unit

STRONG = box(outputs=(light(peaks=((60.0, 1.0),)), heavy(peaks=((60.0, 1.0),))))


def fuse(*loads: Any, margins: dict[str, Any] | None = None, **changes: Any) -> float | None:
    """The fuse that the feed of the unit is given, with loads on a1, a2 ..."""
    there = problem(*loads, unit_types=(STRONG,), margins={"feed_drop": 0.2, **(margins or {})}, **changes)
    circuits = [circuit(one.name, f"a{n}") for n, one in enumerate(loads, start=1)]
    units = (FittedUnit(name="main", site="front", feed=Feed(size="10 mm2")),)
    return complete(there, layout(*circuits, units=units)).units[0].feed.fuse_a


def starter(inrush_a: float, seconds: float = 0.1, **changes: Any):
    return load("fan", **{"current_a": 4.0, "inrush_a": inrush_a, "inrush_s": seconds, **changes})


def test_a_fuse_that_stands_the_start_need_not_be_larger():
    # 5 A stands 10 A for 0.1 s
    assert fuse(starter(10.0)) == 5.0


def test_a_start_asks_for_a_larger_fuse():
    assert fuse(starter(10.1)) == 7.5
    assert fuse(starter(35.0)) == 20.0


def test_a_longer_start_asks_for_more():
    assert [fuse(starter(16.0, seconds)) for seconds in (0.05, 0.1, 0.2, 0.5, 5.0)] == [5.0, 10.0, 10.0, 15.0, 15.0]


def test_what_else_runs_counts():
    assert fuse(load(current_a=4.0), starter(10.0)) == 10.0
    assert fuse(load(current_a=6.0), starter(15.0)) == 15.0


def test_current_kept_spare_counts():
    assert fuse(starter(16.0), units=(unit(spare_current_a=5.0),)) == 15.0


def test_a_start_counts_where_the_load_is_on():
    conditions = ("day", "night")
    lamp = load(current_a=8.0, levels=(1.0, 0.0))
    assert fuse(lamp, starter(15.0, levels=(0.0, 1.0)), conditions=conditions) == 10.0
    assert fuse(lamp, starter(15.0, levels=(1.0, 1.0)), conditions=conditions) == 15.0


def test_spreads_that_may_come_at_once_count():
    assert fuse(load(current_a=6.0, spread=0.5), starter(14.0)) == 15.0
    assert fuse(load(current_a=6.0, spread=0.5), starter(14.0), margins={"robust": 1}) == 20.0


def test_a_fuse_larger_than_a_start_asks_for_is_found():
    units = (FittedUnit(name="main", site="front", feed=Feed(size="10 mm2", fuse_a=10.0)),)
    one = load(inrush_a=14.0, inrush_s=0.1)
    report = check(problem(one, unit_types=(STRONG,)), layout(units=units))
    assert [violation.text for violation in report.violations] == [
        "feed of unit main has a fuse of 10 A where 7.5 A is enough"
    ]


def test_a_feed_carries_the_fuse_that_the_start_asks_for():
    one = load(inrush_a=58.0, inrush_s=1.0)
    units = (FittedUnit(name="main", site="front", feed=Feed(size="6 mm2")),)
    report = check(problem(one, unit_types=(STRONG,)), layout(circuit(size="2.5 mm2"), units=units))
    assert [violation.rule for violation in report.violations] == ["feed ampacity"]
    assert report.layout.units[0].feed.fuse_a == 60.0
    lighter = complete(problem(one, unit_types=(STRONG,)), layout(circuit(size="2.5 mm2")))
    assert (lighter.units[0].feed.size, lighter.units[0].feed.fuse_a) == ("10 mm2", 60.0)


def test_a_start_beyond_every_fuse_is_said():
    peaked = box(outputs=(light(peaks=((2000.0, 0.02),)), heavy()))
    units = (FittedUnit(name="main", site="front", feed=Feed(size="35 mm2")),)
    one = load(inrush_a=1800.0, inrush_s=0.02)
    found = check(problem(one, unit_types=(peaked,)), layout(circuit(size="2.5 mm2"), units=units)).violations
    standard = next(violation for violation in found if violation.rule == "standard fuse")
    assert (standard.amount, standard.text) == (
        50.0, "feed of unit main has no fuse, and none is for 4 A and the starts behind it"
    )  # fmt: skip
