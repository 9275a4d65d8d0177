"""The wires of a load are the lightest that pass: every lighter pair of the table is tried, and fails."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from allocator.options import Option, list_options
from allocator.options.conductor_listing import contact_choices, return_ways
from allocator.options.conductor_option import in_range
from allocator.options.load_groups import load_groups_of
from allocator.options.option_list import workbench
from allocator.problem import (
    Bulkhead,
    Bundling,
    ContactSet,
    GivenWire,
    Line,
    Load,
    Margins,
    OutputClass,
    Place,
    Problem,
    Segment,
    Supply,
    Wire,
    WireRules,
    WireTable,
)
from allocator.reading import builtin_table
from allocator.routing import Network
from allocator.wiring import ampacity_a, copper_g, of_class, resistance_ohm_m, running_temperature_c
from tests.problem.samples import load, output, problem, unit, unit_type

METRIC = builtin_table("metric thin-wall")
WIDE = output(wire_mm2=(0.3, 10.0), continuous_a=30.0, trip_step_a=0.5)


def one_load(own: Load, *, length_m: float = 2.0, outputs: OutputClass = WIDE, **changed: object) -> Problem:
    segments = (
        Segment(start="box", end="bench", length_m=1.0),
        Segment(start="bench", end="door", length_m=length_m),
    )
    values = {"loads": (own,), "segments": segments, "unit_types": (unit_type(outputs),), "wires": METRIC, **changed}
    return problem(**values)


def only_option(asked: Problem) -> Option | None:
    options = list_options(asked).options
    assert len(options) <= 1
    return options[0] if options else None


def passes(asked: Problem, out: Wire, back: Wire) -> bool:
    """Whether a pair of wires serves the one load of a problem, by the rules written down for developers."""
    own = asked.loads[0]
    current = own.full_current_a
    trip = next(0.5 * n for n in range(1, 100) if 0.5 * n >= 1.25 * current * (1 - 1e-9))
    ambient = asked.ambient_c
    route_m = asked.segments[1].length_m
    out_m = max(0.0, route_m + asked.margins.tail_m - own.lead_m)
    back_m = route_m + 1.0 + asked.margins.tail_m if own.return_to == "source" else asked.margins.ground_lead_m
    low, high = WIDE.wire_mm2
    if not low * 0.995 <= out.area_mm2 <= high * 1.005:
        return False
    drop = 0.0
    for wire, length in ((out, out_m), (back, back_m)):
        carries = asked.margins.ampacity * ampacity_a(wire, ambient, asked.altitude_m)
        if wire.area_mm2 < asked.wire_rules.smallest_mm2 * 0.995 or carries <= 0 or carries < trip * (1 - 1e-9):
            return False
        hot = running_temperature_c(current, carries, ambient, wire.insulation_c)
        drop += current * resistance_ohm_m(wire, hot) * length
    share = asked.margins.branch_drop if own.max_drop is None else own.max_drop
    limit = share * asked.running_v
    if own.min_volts_v is not None:
        limit = min(limit, asked.lowest_v - asked.margins.feed_drop * asked.running_v - own.min_volts_v)
    return drop <= limit * (1 + 1e-9)


@settings(max_examples=60, deadline=None)
@given(
    current_a=st.floats(0.2, 23.0),
    length_m=st.floats(0.2, 15.0),
    ambient_c=st.floats(-10.0, 104.0),
    max_drop=st.one_of(st.none(), st.floats(0.002, 0.08)),
    min_volts=st.one_of(st.none(), st.floats(10.0, 11.2)),
    return_to=st.sampled_from(("source", "chassis")),
    lead_m=st.floats(0.0, 1.0),
    spread=st.floats(0.0, 0.2),
    smallest_mm2=st.sampled_from((0.35, 0.5, 1.0)),
)
def test_every_lighter_pair_of_wires_fails(
    current_a: float,
    length_m: float,
    ambient_c: float,
    max_drop: float | None,
    min_volts: float | None,
    return_to: str,
    lead_m: float,
    spread: float,
    smallest_mm2: float,
) -> None:
    own = load(
        current_a=current_a, max_drop=max_drop, min_volts_v=min_volts, return_to=return_to, lead_m=lead_m, spread=spread
    )
    asked = one_load(
        own, length_m=length_m, ambient_c=ambient_c, wire_rules=WireRules(insulation_c=100.0, smallest_mm2=smallest_mm2)
    )
    option = only_option(asked) if current_a * (1 + spread) <= 24.0 else None
    rows = of_class(METRIC, 100.0)
    if option is None:
        assert current_a * (1 + spread) > 24.0 or not any(passes(asked, *pair) for pair in product(rows, rows))
        return
    out, back = option.conductors
    assert passes(asked, out.wire, back.wire)
    copper = round(out.copper_g + back.copper_g, 3)
    for lighter_out, lighter_back in product(rows, rows):
        grams = round(copper_g(lighter_out, out.length_m) + copper_g(lighter_back, back.length_m), 3)
        if grams < copper:
            assert not passes(asked, lighter_out, lighter_back)


# ---- which wires may be used -------------------------------------------------------------------------------------


def out_size(asked: Problem) -> str | None:
    option = only_option(asked)
    return None if option is None else option.conductors[0].wire.size


def test_only_what_is_on_the_shelf_is_used() -> None:
    lamp = load(current_a=2.0)
    assert out_size(one_load(lamp)) == "0.5 mm2"
    assert out_size(one_load(lamp, wire_rules=WireRules(sizes=("1.5 mm2", "2.5 mm2")))) == "1.5 mm2"


def test_nothing_below_the_smallest_size_is_used() -> None:
    assert out_size(one_load(load(current_a=2.0), wire_rules=WireRules(smallest_mm2=0.75))) == "0.75 mm2"


def test_the_terminal_sets_the_least_and_the_largest_size() -> None:
    lamp = load(current_a=2.0)
    assert out_size(one_load(lamp, outputs=replace(WIDE, wire_mm2=(1.0, 4.0)))) == "1 mm2"
    thick = load(current_a=20.0)
    assert out_size(one_load(thick, outputs=replace(WIDE, wire_mm2=(0.5, 1.0)))) is None


def test_a_segment_that_asks_for_better_insulation_gets_the_lowest_class_that_has_it() -> None:
    lamp = load(current_a=2.0)
    plain = one_load(lamp)
    hot = replace(plain, segments=(plain.segments[0], replace(plain.segments[1], insulation_c=110.0)))
    taken = [only_option(asked) for asked in (plain, hot)]
    classes = [option.conductors[0].wire.insulation_c for option in taken if option is not None]
    better = sorted({wire.insulation_c for wire in METRIC.wires if wire.insulation_c >= 110.0})
    assert classes == [of_class(METRIC, 100.0)[0].insulation_c, better[0]]


def test_a_cool_detour_with_thinner_wire_beats_the_short_way_through_the_heat() -> None:
    asked = one_load(load(current_a=12.0, max_drop=0.5), wire_rules=WireRules(insulation_c=100.0))
    straight = asked.segments[1]
    detour = (
        Segment(start="bench", end="roof", length_m=1.3),
        Segment(start="roof", end="door", length_m=1.3),
    )
    both = replace(
        asked,
        places=(*asked.places, Place(name="roof")),
        segments=(asked.segments[0], replace(straight, ambient_c=98.0), *detour),
    )
    option = only_option(both)
    assert option is not None
    assert option.conductors[0].route.places == ("bench", "roof", "door")
    hot_only = only_option(replace(asked, segments=(asked.segments[0], replace(straight, ambient_c=98.0))))
    assert hot_only is None or hot_only.copper_g > option.copper_g


@pytest.mark.parametrize(
    ("area_mm2", "inside"), [(0.995, True), (0.994, False), (2.0, True), (4.02, True), (4.03, False)]
)
def test_a_size_may_miss_the_end_of_a_range_by_half_a_percent(area_mm2: float, inside: bool) -> None:
    assert in_range(area_mm2, (1.0, 4.0)) is inside


# ---- returns -----------------------------------------------------------------------------------------------------

STUDS = (Place(name="box", stud_a=100.0), Place(name="bench"), Place(name="door"))


@pytest.mark.parametrize(
    ("return_to", "places", "ends"),
    [
        ("chassis", None, [(("door",), 0.4)]),
        ("chassis", STUDS, [(("door", "bench", "box"), 3.3)]),
        ("chassis", (*STUDS[:2], replace(STUDS[2], stud_a=50.0)), [(("door",), 0.3)]),
        ("source", None, [(("door", "bench", "box"), 3.3)]),
        ("bench", None, [(("door", "bench"), 2.3)]),
        ("door", None, [(("door",), 0.3)]),
    ],
)
def test_a_return_goes_where_the_load_says(
    return_to: str, places: tuple[Place, ...] | None, ends: list[tuple[tuple[str, ...], float]]
) -> None:
    changed: dict[str, Any] = {} if places is None else {"places": places}
    margins = Margins(bundle=Bundling.NONE, tail_m=0.3, ground_lead_m=0.4)
    asked = one_load(load(return_to=return_to), margins=margins, **changed)
    ways = return_ways(workbench(asked, Network(asked), load_groups_of(asked)), asked.loads[0], "box")
    assert [(way.route.places, round(way.length_m, 9)) for way in ways] == ends


# ---- contacts ----------------------------------------------------------------------------------------------------


def crossing_choices(*sets: ContactSet, area_mm2: float = 1.0, current_a: float = 5.0) -> list[tuple[set[int], float]]:
    """Accepted contact sets and resistance of each alternative at one bulkhead."""
    segments = (
        Segment(start="box", end="bench", length_m=1.0),
        Segment(start="bench", end="door", length_m=2.0, bulkhead="wall"),
    )
    asked = problem(bulkheads=(Bulkhead(name="wall", contacts=sets),), segments=segments)
    wire = Wire(size="x", area_mm2=area_mm2, insulation_c=105.0)
    route = Network(asked).shortest("bench", "door")
    return [(set(taken[0].accepted), ohm) for taken, ohm in contact_choices(asked, route, wire, current_a)]


def test_contact_sets_of_one_resistance_are_one_choice() -> None:
    assert crossing_choices(ContactSet(count=1, wire_mm2=(0.5, 1.5)), ContactSet(count=1, wire_mm2=(1.0, 4.0))) == [
        ({0, 1}, 0.0)
    ]


def test_a_worse_resistance_opens_more_contacts() -> None:
    assert crossing_choices(
        ContactSet(count=1, wire_mm2=(0.5, 1.5), resistance_ohm=0.005),
        ContactSet(count=1, wire_mm2=(1.0, 4.0), resistance_ohm=0.002),
    ) == [({1}, 0.002), ({0, 1}, 0.005)]


def test_a_contact_takes_only_wire_and_current_that_it_is_made_for() -> None:
    small, large = ContactSet(count=1, wire_mm2=(0.5, 1.5), continuous_a=4.0), ContactSet(count=1, wire_mm2=(1.0, 4.0))
    assert crossing_choices(small, large) == [({1}, 0.0)]
    assert crossing_choices(small, large, current_a=4.0) == [({0, 1}, 0.0)]
    assert crossing_choices(small, large, area_mm2=0.5, current_a=4.0) == [({0}, 0.0)]
    assert crossing_choices(small, large, area_mm2=6.0) == []


def test_where_nothing_is_crossed_there_is_one_choice() -> None:
    asked = problem()
    route = Network(asked).shortest("bench", "door")
    assert contact_choices(asked, route, METRIC.wires[0], 5.0) == [((), 0.0)]


def test_a_table_of_one_size_is_enough() -> None:
    single = WireTable(name="single", wires=(Wire(size="only", area_mm2=2.0, insulation_c=105.0),))
    assert out_size(one_load(load(current_a=3.0), wires=single)) == "only"


def test_wires_that_share_a_current_take_contacts_of_one_resistance() -> None:
    sets = tuple(ContactSet(count=4, wire_mm2=(0.5, 6.0), resistance_ohm=ohm) for ohm in (0.0, 0.004, 0.004))
    walled = problem(
        segments=(
            Segment(start="box", end="bench", length_m=1.0),
            Segment(start="bench", end="door", length_m=2.0, bulkhead="wall"),
        ),
        bulkheads=(Bulkhead(name="wall", contacts=sets),),
    )
    route = Network(walled).shortest("bench", "door")
    choices = {
        even: [([sorted(x.accepted) for x in taken], ohm) for taken, ohm in contact_choices(
            walled, route, walled.wires.wires[0], 5.0, even=even
        )]
        for even in (False, True)
    }  # fmt: skip
    assert choices[False] == [([[0]], 0.0), ([[0, 1, 2]], 0.004)]
    assert choices[True] == [([[0]], 0.0), ([[1, 2]], 0.004)]


def test_where_every_way_is_closed_to_wires_nothing_is_listed_and_nothing_is_raised() -> None:
    """A closed way leaves no option, and other sites may have one: it is no mistake of the problem's."""
    shut = tuple(replace(segment, only=Line.CABLE) for segment in problem().segments)
    for own in (load(), load(return_to="chassis"), load(supply=Supply.DIRECT, return_to="chassis")):
        asked = problem(loads=(own,), segments=shut, places=STUDS)
        assert list_options(asked).options == ()
    wake = GivenWire(name="wake", start="box", end="door", size="1 mm2")
    (fault,) = list_options(problem(loads=(load(),), segments=shut, given_wires=(wake,))).faults
    assert fault.text.startswith("given wire 'wake': No route from 'box' to 'door'")
    assert "for cables only" in fault.text


def test_loads_that_share_an_output_and_are_cut_off_from_one_site_are_fed_from_another() -> None:
    shut = (
        Segment(start="box", end="bench", length_m=1.0, only=Line.CABLE),
        Segment(start="bench", end="door", length_m=1.0),
    )
    shared = (load(share="lights"), load("spot", place="bench", share="lights"))
    asked = problem(loads=shared, segments=shut, units=(unit(sites=("box", "bench")),))
    option_list = list_options(asked)
    assert {option_list.slots[option.slot].site for option in option_list.options} == {"bench"}
