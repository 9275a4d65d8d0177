"""Loads fused at the source, and wires that are given: options, fuses and faults."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from allocator.options import list_options
from allocator.options.direct_options import fuse_for
from allocator.problem import Bulkhead, ContactSet, GivenWire, Load, Problem, Segment, Supply
from tests.problem.samples import load, problem


def direct(**changed: Any) -> Load:
    return load("winch", **{"supply": Supply.DIRECT, **changed})


def fed(own: Load, **changed: Any) -> Problem:
    return problem(**{"loads": (load(), own), **changed})


# ---- direct loads ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("current_a", "fuse_a"), [(0.8, 1.0), (0.81, 2.0), (8.0, 10.0), (8.01, 15.0), (20.0, 25.0)])
def test_the_fuse_is_the_least_standard_one_that_the_load_uses_to_its_share(current_a: float, fuse_a: float) -> None:
    own = direct(current_a=current_a)
    assert fuse_for(fed(own), own) == fuse_a


def test_the_fuse_is_for_the_whole_spread() -> None:
    own = direct(current_a=8.0, spread=0.1)
    assert fuse_for(fed(own), own) == 15.0


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"current_a": 401.0}, "direct load 'winch' needs a fuse of 501.2 A, above the largest standard fuse"),
        ({"max_trip_a": 7.0}, "direct load 'winch' needs a fuse of 7.5 A, above its max_trip of 7 A"),
        ({"stall_a": 7.5}, "direct load 'winch' needs a fuse of 7.5 A, not below its stall current 7.5 A"),
    ],
    ids=str,
)
def test_a_load_that_no_fuse_serves_is_told_with_the_amounts(changed: dict[str, Any], said: str) -> None:
    own = direct(**{"current_a": 6.0, **changed})
    (fault,) = list_options(fed(own)).faults
    assert fuse_for(fed(own), own) == fault
    assert fault.text == said


@pytest.mark.parametrize(
    ("inrush_a", "seconds", "fuse_a"),
    [(26.2, 0.08, 7.5), (26.3, 0.08, 10.0), (26.2, 0.081, 15.0), (12.0, 0.25, 7.5), (12.1, 0.25, 10.0), (8.2, 9, 7.5)],
)
def test_the_fuse_stands_the_start(inrush_a: float, seconds: float, fuse_a: float) -> None:
    own = direct(current_a=6.0, inrush_a=inrush_a, inrush_s=seconds)
    assert fuse_for(fed(own), own) == fuse_a


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"max_trip_a": 7.5}, "needs a fuse of 10 A for its start of 16 A, above its max_trip of 7.5 A"),
        ({"stall_a": 10.0}, "needs a fuse of 10 A for its start of 16 A, not below its stall current 10 A"),
        ({"inrush_a": 1800.0}, "starts with 1800 A for 0.1 s, more than the largest standard fuse withstands"),
    ],
    ids=str,
)
def test_a_start_that_no_fuse_serves_is_told(changed: dict[str, Any], said: str) -> None:
    own = direct(**{"current_a": 6.0, "inrush_a": 16.0, "inrush_s": 0.1, **changed})
    (fault,) = list_options(fed(own)).faults
    assert fault.text == f"direct load 'winch' {said}"


def test_the_wire_carries_the_fuse_that_the_start_asks_for() -> None:
    (option,) = list_options(fed(direct(current_a=4.0, inrush_a=60.0, inrush_s=1.0, max_drop=0.1))).direct
    assert option.fuse_a == 60.0
    assert min(c.ampacity_a for c in option.plan.conductors) >= 60.0


def test_max_trip_and_stall_may_just_leave_room() -> None:
    own = direct(current_a=6.0, max_trip_a=7.5, stall_a=7.6)
    assert fuse_for(fed(own), own) == 7.5


def test_a_direct_load_is_wired_from_the_source_to_itself() -> None:
    (option,) = list_options(fed(direct(current_a=4.0, lead_m=0.5))).direct
    assert (option.load.name, option.fuse_a) == ("winch", 5.0)
    assert [(c.role, c.wire.size, c.length_m, c.route.places) for c in option.plan.conductors] == [
        ("out", "1 mm2", pytest.approx(2.8), ("box", "bench", "door")),
        ("return", "1 mm2", 0.3, ("door",)),
    ]


def test_a_large_direct_load_takes_cable() -> None:
    (option,) = list_options(fed(direct(current_a=40.0))).direct
    assert (option.fuse_a, {c.wire.size for c in option.plan.conductors}) == (50.0, {"10 mm2"})


def test_direct_loads_are_no_circuits_of_units() -> None:
    option_list = list_options(fed(direct()))
    assert [group.sample.name for group in option_list.load_groups] == ["lamp"]
    assert len(option_list.candidates) == 1


def test_a_direct_load_that_no_wire_serves_is_told() -> None:
    (fault,) = list_options(fed(direct(current_a=30.0, max_drop=0.0001))).faults
    assert fault.text.startswith("direct load 'winch': no wire of either table carries its fuse of 40 A there and back")


# ---- given wires -------------------------------------------------------------------------------------------------


def given(**changed: Any) -> GivenWire:
    return GivenWire(**{"name": "data pair", "start": "box", "end": "door", "size": "1 mm2", "cores": 2, **changed})


def test_each_core_of_a_given_wire_runs_the_shortest_way() -> None:
    cores = list_options(problem(given_wires=(given(),))).given
    assert [(core.name, core.wire.size, round(core.length_m, 9), core.copper_g) for core in cores] == [
        ("data pair", "1 mm2", 3.3, 29.337)
    ] * 2


def test_a_given_wire_may_be_of_either_table() -> None:
    (core,) = list_options(problem(given_wires=(given(size="25 mm2", cores=1),))).given
    assert (core.wire.area_mm2, core.copper_g) == (25.0, round(25 * 3.3 * 8.89, 3))


def test_a_given_wire_that_does_not_carry_its_current_is_told() -> None:
    assert list_options(problem(given_wires=(given(current_a=5.0),))).faults == ()
    (fault,) = list_options(problem(given_wires=(given(current_a=50.0),))).faults
    assert fault.text == "given wire 'data pair': 1 mm2 does not carry 50 A on its way"


def walled(count: int, *wires: GivenWire) -> Problem:
    segments = (
        Segment(start="box", end="bench", length_m=1.0),
        Segment(start="bench", end="door", length_m=2.0, bulkhead="wall"),
    )
    wall = Bulkhead(name="wall", contacts=(ContactSet(count=count, wire_mm2=(0.5, 4.0)),))
    return problem(segments=segments, bulkheads=(wall,), given_wires=wires)


def test_a_given_wire_takes_a_contact_for_each_core() -> None:
    option_list = list_options(walled(4, given(cores=3)))
    assert [[x.bulkhead for x in core.crossings] for core in option_list.given] == [["wall"]] * 3


def test_a_given_wire_that_no_contact_takes_is_told() -> None:
    (fault,) = list_options(walled(4, given(size="10 mm2", cores=1))).faults
    assert fault.text == "given wire 'data pair': a bulkhead on its way has no contact for 10 mm2"


def test_a_given_wire_of_too_little_insulation_is_told() -> None:
    asked = problem(given_wires=(given(size="10 mm2", cores=1),))
    better = tuple(replace(wire, insulation_c=125.0) for wire in asked.wires.wires)
    hot = replace(asked.segments[1], insulation_c=110.0)
    asked = replace(asked, wires=replace(asked.wires, wires=better), segments=(asked.segments[0], hot))
    (fault,) = list_options(asked).faults
    assert fault.text == "given wire 'data pair': no 10 mm2 of the insulation that its route asks for"
