"""Claims of headroom, each held against the check: what is said to fit breaks nothing, the next step up does."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, replace

import pytest

from allocator.analysis.headroom import headroom, rooms_of
from allocator.analysis.largest_load import decisions_of, usual_return
from allocator.checking import check
from allocator.evaluation.complete import complete
from allocator.evaluation.prepare import prepare
from allocator.layout import Circuit, Layout, PlacedWire
from allocator.problem import SOURCE, Bulkhead, ContactSet, Load, Problem, Source
from allocator.reading import read_problem
from allocator.search.solve import solve
from tests.case_folders import problem_folder
from tests.checking.builders import (
    SEGMENTS,
    box,
    circuit,
    heavy,
    layout,
    light,
    load,
    problem,
    unit,
)

LOADS = (load("lamp", current_a=4.0, levels=(1.0, 0.5)), load("pump", "middle", 6.0, levels=(0.0, 1.0), spread=0.2))
CART = problem(*LOADS, conditions=("day", "night"), units=(unit(spare=(("light", 1),), spare_current_a=2.0),))
LAID = complete(CART, layout(circuit("lamp", "a1"), circuit("pump", "a2", "2.5 mm2")))


def rooms(given: Problem = CART, laid: Layout = LAID):
    return {(one.bank, one.condition): one for one in rooms_of(prepare(given, laid))}


def fuse_a(laid: Layout = LAID) -> float:
    feed = laid.units[0].feed
    assert feed is not None and feed.fuse_a is not None
    return feed.fuse_a


def test_the_cart_is_clean():
    assert check(CART, LAID).violations == ()


def test_a_feed_fuse_leaves_its_use_less_reserve_and_current():
    left = 0.8 * fuse_a()
    assert rooms()[None, "day"].room_a == pytest.approx(left - 2.0 - 4.0)
    assert rooms()[None, "night"].room_a == pytest.approx(left - 2.0 - 8.0)
    assert rooms()[None, "night"].held_by == f"feed fuse of {fuse_a():g} A"


def test_a_bank_leaves_its_rating_where_that_comes_first():
    small = replace(CART, unit_types=(box(banks=(replace(box().banks[0], continuous_a=8.5), box().banks[1])),))
    own = rooms(small)["left", "night"]
    assert (own.room_a, own.held_by) == (pytest.approx(0.5), "rating")
    assert rooms(small)["right", "night"].held_by == f"unit main, feed fuse of {fuse_a():g} A"


def test_the_largest_spreads_that_come_at_once_are_taken_off():
    robust = replace(CART, margins=replace(CART.margins, robust=1))
    assert rooms(robust)[None, "night"].room_a == pytest.approx(rooms()[None, "night"].room_a - 0.2 * 6.0)


def test_a_start_behind_the_feed_fuse_may_hold_the_room():
    """A 15 A fuse stands 3.5 x 15 A for 0.08 s, 1.1 x 15 A for ever."""
    starting = replace(CART, loads=(LOADS[0], replace(LOADS[1], inrush_a=8.5, inrush_s=5.0)))
    night = rooms(starting)[None, "night"]
    assert night.room_a == pytest.approx(min(1.1 * fuse_a() - (8.0 + 2.0 - 6.0 + 8.5), 0.8 * fuse_a() - 10.0))


@pytest.mark.parametrize("condition", [0, 1])
def test_what_is_said_to_fit_the_unit_keeps_its_rules_and_a_little_more_does_not(condition):
    name = CART.conditions[condition]
    room = rooms()[None, name].room_a
    rules = {"unit current", "bank current", "fuse use", "feed drop", "feed start", "feed ampacity"}
    for more, breaks in ((0.0, False), (0.01, True)):
        levels = tuple(float(m == condition) for m in (0, 1))
        added = Load(name="more", item="more", place="front", current_a=room + more, levels=levels)
        larger = replace(CART, loads=(*CART.loads, added))
        whole = decisions_of(LAID)
        whole = replace(whole, circuits=(*whole.circuits, circuit("more", "b1", "6 mm2")))
        broken = {one.rule for one in check(larger, whole).violations} & rules
        assert bool(broken) == breaks, broken


def test_free_outputs_are_told_by_class_with_what_is_kept_and_what_one_carries():
    found = {one.output_class: one for one in headroom(CART, LAID, ()).outputs}
    assert (found["light"].free, found["light"].spare, found["light"].each_a) == (2, 1, pytest.approx(8.0))
    assert (found["heavy"].free, found["heavy"].spare, found["heavy"].each_a) == (2, 0, pytest.approx(16.0))


def every_way(given: Problem, laid: Layout, added: Load) -> list[Circuit]:
    """All circuits that could feed a load on its own from the unit: pins, trips, sizes out and back, shortest ways."""
    used = {pin for one in laid.circuits for pin in one.pins}
    sizes = [row.size for row in given.wires.wires if row.insulation_c == 100.0]
    found = []
    for output in given.unit_types[0].outputs:
        free = [pin for pin in output.pins if pin not in used]
        for k in range(1, min(output.parallel, len(free)) + 1):
            for out in sizes:
                for back in sizes:
                    wires = (*[PlacedWire(role="out", size=out)] * k, PlacedWire(role="return", size=back))
                    pins = tuple(free[:k])
                    found.append(Circuit(name="x", loads=(added.name,), unit="main", pins=pins, wires=wires))
    return found


def fits(given: Problem, laid: Layout, current_a: float, place: str) -> bool:
    """Whether any way to add a load is clean; the check fills in the least trip, the only one it lets pass."""
    added = Load(
        name="more",
        item="more",
        place=place,
        current_a=current_a,
        levels=(1.0,) * len(given.conditions),
        return_to=usual_return(given),
    )
    larger = replace(given, loads=(*given.loads, added))
    whole = decisions_of(laid)
    return any(
        check(larger, replace(whole, circuits=(*whole.circuits, one))).clean for one in every_way(given, laid, added)
    )


WIDE = replace(CART, units=(unit(spare=(("light", 1),), spare_current_a=25.0),))
WALLED = replace(
    WIDE,
    segments=(SEGMENTS[0], SEGMENTS[1], replace(SEGMENTS[2], bulkhead="wall")),
    bulkheads=(Bulkhead(name="wall", contacts=(ContactSet(count=3, wire_mm2=(0.35, 2.5), continuous_a=8.0),)),),
)


@pytest.mark.parametrize("place", ["front", "rear"])
@pytest.mark.parametrize("given", [CART, WALLED], ids=["plain", "a bulkhead with one contact left"])
def test_the_largest_load_fits_and_the_next_step_up_does_not_by_any_way(given, place):
    laid = complete(given, layout(circuit("lamp", "a1", "1 mm2"), circuit("pump", "a2", "2.5 mm2")))
    assert check(given, laid).violations == ()
    (found,) = headroom(given, laid, [place]).largest
    assert found.load is not None and found.circuit is not None and found.stopped_by
    larger = replace(given, loads=(*given.loads, found.load))
    whole = decisions_of(laid)
    assert check(larger, replace(whole, circuits=(*whole.circuits, found.circuit))).violations == ()
    assert fits(given, laid, found.current_a, place)
    assert not fits(given, laid, found.current_a + found.step_a, place)


def test_where_no_output_is_left_nothing_fits_and_it_says_so():
    full = replace(CART, unit_types=(box(outputs=(light(pins=("a1", "a2", "a3")), heavy(pins=("b1",)))),))
    laid = layout(circuit("lamp", "a1"), circuit("pump", "b1", "2.5 mm2"))
    both = replace(full, units=(unit(spare=(("light", 2),), spare_current_a=25.0),))
    (found,) = headroom(both, laid, ["rear"]).largest
    assert (found.current_a, found.load, found.circuit) == (0.0, None, None)
    assert found.stopped_by == ("unit main: no free outputs of a class and bank that take it",)


def test_a_layout_that_breaks_a_rule_takes_what_breaks_no_more():
    poor = layout(circuit("lamp", "a1", "0.35 mm2"), circuit("pump", "a2", "2.5 mm2"))
    assert not check(CART, poor).clean
    assert headroom(CART, poor, ["front"]).largest == headroom(CART, LAID, ["front"]).largest


def test_without_a_chassis_the_load_returns_to_the_source():
    hull = problem(load(return_to=SOURCE))
    assert usual_return(hull) == SOURCE
    assert usual_return(CART) == "chassis"


@pytest.mark.parametrize(
    ("places", "step", "says"), [(["moon"], 0.5, "'moon' is not a place"), ([], 0.0, "A step of 0 A")]
)
def test_wrong_questions_are_refused(places, step, says):
    with pytest.raises(ValueError, match=says):
        headroom(CART, LAID, places, step)


def test_units_without_a_feed_take_nothing():
    apart = replace(CART, sources=(Source(name="battery", place="battery"), Source(name="other", place="battery")))
    bare = replace(apart, feed_wires=replace(apart.feed_wires, wires=apart.feed_wires.wires[:1]))
    hot = complete(replace(bare, margins=replace(bare.margins, feed_drop=1e-6)), decisions_of(layout(circuit("lamp"))))
    assert hot.units[0].feed is None
    found = rooms(replace(bare, margins=replace(bare.margins, feed_drop=1e-6)), layout(circuit("lamp")))
    assert found[None, "day"].held_by == "no feed"
    assert found[None, "day"].room_a < 0.0


def test_frames_and_frozen():
    whole = headroom(CART, LAID)
    assert len(whole.frame()) == len(whole.rooms) == 2 * 3
    assert list(whole.output_frame()["output_class"]) == ["light", "heavy"]
    assert list(whole.largest_frame()["place"]) == ["front"]
    with pytest.raises(FrozenInstanceError):
        whole.rooms[0].room_a = 99.0


def test_a_load_more_must_leave_its_bundle_cool_enough():
    """A winch and a lamp of the machine whose bundle gets too warm with four lamps; the feed has a fuse to spare."""
    given = read_problem(problem_folder("infeasible/bundle/problem"))
    given = replace(given, loads=given.loads[:2])
    laid = solve(given)
    laid = replace(laid, units=tuple(replace(u, feed=replace(u.feed, fuse_a=30.0)) for u in laid.units))
    (nose,) = headroom(given, laid, ["nose"]).largest
    assert nose.current_a == 5.5
    assert nose.stopped_by == (
        "unit front: bundle shelf - nose in condition all on: 0.1292 W/m over 11.87 W/m; its hottest wire is "
        "circuit winch, out wire",
    )
    assert nose.load is not None and nose.circuit is not None
    whole = decisions_of(laid)
    larger = replace(given, loads=(*given.loads, nose.load))
    assert check(larger, replace(whole, circuits=(*whole.circuits, nose.circuit))).violations == ()
    heavier = replace(given.unit_types[0].outputs[0], wire_mm2=(1.0, 2.5))
    thick = replace(given.wires.wires[0], size="2.5 mm2", area_mm2=2.5)
    wider = replace(
        given,
        wires=replace(given.wires, wires=(*given.wires.wires, thick)),
        unit_types=(replace(given.unit_types[0], outputs=(heavier,)),),
    )
    (more,) = headroom(wider, laid, ["nose"]).largest
    assert more.current_a > nose.current_a
    assert more.circuit is not None
    assert "2.5 mm2" in {wire.size for wire in more.circuit.wires}


def test_a_layout_without_units_takes_nothing_and_says_why():
    (found,) = headroom(CART, replace(LAID, units=()), ["front"]).largest
    assert found.current_a == 0.0
    assert found.stopped_by == ("no unit of the problem is fitted at a place of the problem",)
