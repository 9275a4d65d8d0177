"""What is told before any option is listed: each fact with its figures, and a twin of which nothing is said."""

from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.options.evident_faults import with_evident_faults
from allocator.problem import Fit, Load, OutputClass, Place, Problem, Segment, Source, Supply, Unit, UnitType
from allocator.reading import builtin_table

OUTPUT = OutputClass(name="plain", pins=("1", "2", "3"), continuous_a=10.0, wire_mm2=(0.5, 6.0), trip_step_a=1.0)


def load(name: str, current_a: float = 4.0, **more: object) -> Load:
    return Load(name=name, item=name, place="bow", current_a=current_a, levels=(1.0,), **more)  # type: ignore[arg-type]


BOAT = Problem(
    name="dinghy",
    nominal_v=12.0,
    running_v=13.0,
    lowest_v=11.0,
    conditions=("under way",),
    loads=(load("lamp"), load("pump")),
    places=(
        Place(name="stern", stud_a=50.0),
        Place(name="locker"),
        Place(name="bow", stud_a=20.0),
    ),
    segments=(
        Segment(start="stern", end="locker", length_m=1.0),
        Segment(start="locker", end="bow", length_m=1.0),
    ),
    unit_types=(UnitType(name="box", continuous_a=30.0, mass_g=100.0, outputs=(OUTPUT,)),),
    units=(Unit(name="main", type="box", sites=("locker",), source="battery"),),
    sources=(Source(name="battery", place="stern"),),
    wires=builtin_table("metric thin-wall"),
    feed_wires=builtin_table("metric battery cable"),
)


def told(**changes: object) -> tuple[str, ...]:
    found = with_evident_faults(replace(BOAT, **changes))  # type: ignore[arg-type]
    return tuple(fault.text for fault in found.faults)


def test_where_nothing_is_evident_nothing_is_said() -> None:
    assert with_evident_faults(BOAT).faults == ()
    assert with_evident_faults(BOAT).options == ()


def test_a_stud_that_bears_less_than_all_that_returns_there() -> None:
    assert told(loads=tuple(load(f"lamp {n}", 7.0) for n in range(3))) == (
        "ground stud at 'bow' would carry 21.0 A in condition 'under way', 1.0 A over its 20 A: give a larger stud, "
        "another stud nearer to some loads, or another return",
    )


def test_a_fuse_over_the_largest_standard_one() -> None:
    winch = load("winch", 5000.0, supply=Supply.DIRECT, return_to="source")
    (found,) = told(loads=(winch,))
    assert found.startswith("direct load 'winch' needs a fuse of ")
    assert found.endswith(" A, above the largest standard fuse")


@pytest.mark.parametrize("current_a", [500.0, 19.0])
def test_a_load_larger_than_any_output(current_a: float) -> None:
    (found,) = told(loads=(load("heater", current_a, return_to="source"),), places=BOAT.places)[:1]
    assert found.startswith(
        f"No output can feed 'heater': current over what the output carries after output_use, {current_a:g} A against "
    )


def test_a_load_that_may_share_is_left_to_pricing() -> None:
    assert not any("heater" in fact for fact in told(loads=(load("heater", 19.0, share="warm"),)))


def test_more_units_than_their_sites_have_room_for() -> None:
    units = tuple(replace(BOAT.units[0], name=f"box {n}", fit=Fit.ALWAYS) for n in range(3))
    assert told(units=units) == ("3 units must be fitted, and their sites have room for no more than 1 of them.",)
    assert told(units=tuple(replace(unit, fit=Fit.IF_NEEDED) for unit in units)) == ()
    two = tuple(replace(unit, sites=("locker", "stern", "bow")) for unit in units)
    assert told(units=two) == ()


def test_units_are_moved_aside_to_make_room_for_others() -> None:
    first = replace(BOAT.units[0], name="first", sites=("bow", "locker"), fit=Fit.ALWAYS)
    second = replace(BOAT.units[0], name="second", sites=("bow",), fit=Fit.ALWAYS)
    assert told(units=(first, second)) == ()
    assert told(units=(replace(first, sites=("bow",)), second)) == (
        "2 units must be fitted, and their sites have room for no more than 1 of them.",
    )


def test_fewer_outputs_than_loads() -> None:
    lamps = tuple(load(f"lamp {n}", 1.0) for n in range(4))
    assert told(loads=lamps) == (
        "The loads take at least 4 outputs, and all units together have 3 besides spare ones.",
    )
    assert told(loads=lamps[:3]) == ()
    assert told(loads=tuple(replace(lamp, share="lamps") for lamp in lamps)) == ()
    kept = tuple(replace(unit, spare=(("plain", 1),)) for unit in BOAT.units)
    assert told(loads=lamps[:3], units=kept) == (
        "The loads take at least 3 outputs, and all units together have 2 besides spare ones.",
    )


def test_more_current_than_all_units_or_their_feeds_may_carry() -> None:
    lamps = tuple(load(f"lamp {n}", 6.0) for n in range(3))
    small = (replace(BOAT.unit_types[0], continuous_a=15.0),)
    (found,) = told(loads=lamps, unit_types=small)[:1]
    assert found.startswith("In condition 'under way' the loads draw 18.0 A, ")
    assert found.endswith(" A over what all units together may carry after unit_use and reserve.")
    # 10 mm2 over 1.3 m loses 0.0005 x 13 V at 2.4 A
    thin = replace(BOAT.feed_wires, wires=tuple(wire for wire in BOAT.feed_wires.wires if wire.size == "10 mm2"))
    (found,) = told(loads=lamps, feed_wires=thin, margins=replace(BOAT.margins, feed_drop=0.0005))
    assert found == (
        "In condition 'under way' the loads draw 18.0 A, 15.6 A over what the largest feeds of all units together may "
        "carry."
    )
