"""Margins of small layouts by hand, against the formulas of the rules."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, replace

import pytest

from allocator.analysis.margins import KINDS, LayoutMargins, Margin, margins
from allocator.evaluation.bundle_figures import bundles
from allocator.layout import DirectCircuit, Feed, FittedUnit, Layout
from allocator.problem import Bundling, GivenWire, Problem, Supply
from allocator.wiring import ampacity_a
from tests.checking.builders import (
    BRANCH,
    REAR,
    SEGMENTS,
    SHARED,
    back,
    box,
    circuit,
    layout,
    load,
    out,
    places,
    problem,
    shared_circuit,
    unit,
)
from tests.checking.cases_wires import lost_v
from tests.checking.rich import rich_complete, rich_problem


def carries_a(size: str) -> float:
    return 0.8 * next(ampacity_a(row, 45.0) for row in BRANCH.wires if row.size == size)


def margin(kind: str, what: str, given: Problem, decisions: Layout) -> tuple[float, float]:
    """Value and limit of the one margin of this kind and object."""
    (one,) = [one for one in margins(given, decisions).margins if (one.kind, one.object) == (kind, what)]
    return one.value, one.limit


LAMP = (problem(), layout())
IN_FOAM = tuple(replace(segment, factor=0.7) for segment in SEGMENTS)
HEATER = (
    problem(load("heater", "middle", 25.0, spread=0.1), margins={"branch_drop": 0.1}),
    layout(circuit("heater", "b1 b2", wires=(out(size="4 mm2"), out(size="4 mm2"), back(size="6 mm2")))),
)


def test_a_wire_against_its_trip():
    assert margin("ampacity", "circuit lamp, out wire", *LAMP) == pytest.approx((5.0, carries_a("1.5 mm2")))


def test_the_return_of_a_parallel_group_against_all_its_trips():
    trip = 19.5  # 1.25 x 27.5 A / (2 x 0.9) = 19.1 A
    assert margin("ampacity", "circuit heater, return wire", *HEATER)[0] == pytest.approx(2 * trip)
    assert margin("ampacity", "circuit heater, out wire 2", *HEATER)[0] == pytest.approx(trip)


def test_trip_over_load_is_what_the_margin_asks_for_against_the_trip_set():
    assert margin("trip over load", "circuit lamp", *LAMP) == pytest.approx((1.25 * 4.0, 5.0))
    assert margin("trip over load", "circuit heater", *HEATER) == pytest.approx((1.25 * 27.5 / 1.8, 19.5))


def test_an_output_against_its_rating_and_use():
    assert margin("output", "circuit lamp", *LAMP) == pytest.approx((4.0, 0.8 * 10.0))
    assert margin("output", "circuit heater", *HEATER) == pytest.approx((27.5 / 1.8, 0.8 * 20.0))


def test_a_drop_at_full_current_against_its_limit():
    lost = lost_v("1.5 mm2", 2.3, 4.0) + lost_v("1.5 mm2", 0.3, 4.0)
    assert margin("drop", "load lamp", *LAMP) == pytest.approx((lost, 0.03 * 13.6))


def test_units_and_banks_in_their_worst_condition_with_what_is_kept_spare():
    hot = box(hot=((40.0, 1.0), (50.0, 0.5)))  # 45 degC: 0.75 of every rating
    given = problem(
        load(levels=(0.5, 1.0)),
        load("fan", current_a=2.0, levels=(1.0, 0.5)),
        conditions=("day", "night"),
        unit_types=(hot,),
        units=(unit(spare_current_a=3.0),),
    )
    decisions = layout(circuit("lamp"), circuit("fan", "b1"))
    assert margin("unit", "unit main", given, decisions) == pytest.approx((4.0 + 1.0 + 3.0, 0.75 * 60.0))
    assert margin("bank", "bank left of unit main", given, decisions) == pytest.approx((4.0, 0.75 * 40.0))
    assert margin("bank", "bank right of unit main", given, decisions) == pytest.approx((2.0, 0.75 * 40.0))


def test_a_stud_in_its_worst_condition():
    given = problem(load(levels=(0.5, 0.25)), conditions=("day", "night"))
    assert margin("stud", "stud rear", given, layout()) == pytest.approx((2.0, 50.0))


def test_a_feed_against_fuse_wire_and_drop():
    what = "feed of unit main"
    assert margin("fuse over load", what, *LAMP) == pytest.approx((4.0, 0.8 * 5.0))
    assert margin("ampacity", what, *LAMP)[0] == 5.0
    assert margin("drop", what, *LAMP) == pytest.approx((lost_v("6 mm2", 0.8, 4.0), 0.02 * 13.6))


def test_a_direct_load_against_its_fuse():
    given = problem(load(), load("winch", "middle", 20.0, supply=Supply.DIRECT))
    decisions = layout(direct=(DirectCircuit(load="winch", source="battery"),))
    assert margin("fuse over load", "direct load winch", given, decisions) == pytest.approx((20.0, 0.8 * 25.0))
    assert margin("ampacity", "direct load winch, out wire", given, decisions)[0] == 25.0


def test_a_given_wire_against_its_current():
    wire = GivenWire(name="wake", start="battery", end="rear", size="1 mm2", current_a=3.0)
    found = margins(problem(given_wires=(wire,)), rich_given(wire))
    (one,) = [one for one in found.margins if one.object.startswith("given wire")]
    assert (one.value, one.limit) == pytest.approx((3.0, carries_a("1 mm2")))
    assert (found.wires[-1].guard_a, found.wires[-1].ampacity_used) == (None, pytest.approx(one.used))


def rich_given(wire: GivenWire) -> Layout:
    from allocator.layout import GivenRun

    return layout(given=(GivenRun(wire=wire.name, size=wire.size),))


def test_every_figure_of_a_wire():
    wire = margins(*LAMP).wires[0]
    lost = lost_v("1.5 mm2", 2.3, 4.0) + lost_v("1.5 mm2", 0.3, 4.0)
    assert (wire.wire, wire.size) == ("circuit lamp, out wire", "1.5 mm2")
    assert (wire.current_a, wire.guard_a) == (4.0, 5.0)
    assert wire.ampacity_a == pytest.approx(carries_a("1.5 mm2"))
    assert wire.ampacity_used == pytest.approx(5.0 / carries_a("1.5 mm2"))
    assert wire.guard_over_load == pytest.approx(1.25)
    assert wire.guard_under_wire_a == pytest.approx(carries_a("1.5 mm2") - 5.0)
    assert wire.drop_used == pytest.approx(lost / (0.03 * 13.6))


def test_a_trunk_is_as_badly_off_as_the_worst_load_behind_it():
    by_wire = {one.wire: one for one in margins(problem(*SHARED), layout(shared_circuit())).wires}
    lamp, spot = (by_wire[f"circuit lamp spot, branch wire {n}"] for n in (1, 2))
    assert by_wire["circuit lamp spot, trunk wire"].drop_used == lamp.drop_used
    assert lamp.drop_used is not None and spot.drop_used is not None
    assert lamp.drop_used > spot.drop_used
    # what flows in a branch alone is less, but its trip lets all flow
    assert (lamp.current_a, lamp.guard_over_load) == (4.0, pytest.approx(7.5 / 6.0))


def test_every_wire_feed_and_core_is_there():
    given, decisions = rich_problem(), rich_complete()
    wires = [wire for one in (*decisions.circuits, *decisions.direct) for wire in one.wires]
    assert len(margins(given, decisions).wires) == len(wires) + len(decisions.units) + len(decisions.given)


def test_the_weakest_comes_first():
    used = [one.used for one in margins(rich_problem(), rich_complete()).margins]
    assert used == sorted(used, reverse=True)


def one_of(kind: str, what: str, used: float) -> Margin:
    return Margin(kind=kind, object=what, value=used, limit=1.0, unit="A", relief="")


def weakest(*found: Margin) -> list[str]:
    in_order = sorted(found, key=lambda one: -one.used)
    return [one.object for one in LayoutMargins(wires=(), margins=tuple(in_order)).weakest()]


def test_one_kind_takes_two_of_the_weakest_while_there_are_others():
    trips = [one_of("trip over load", f"t{n}", 1.0 - n / 100) for n in range(6)]
    assert weakest(*trips, one_of("ampacity", "a", 0.5), one_of("drop", "d", 0.4), one_of("unit", "u", 0.3)) == [
        "t0", "t1", "a", "d", "u",
    ]  # fmt: skip
    assert weakest(*trips, one_of("ampacity", "a", 0.5)) == ["t0", "t1", "t2", "t3", "a"]
    assert weakest(*trips) == ["t0", "t1", "t2", "t3", "t4"]


def test_alike_ones_count_as_one():
    given = problem(*(load(f"lamp{n}") for n in range(1, 4)))
    found = margins(given, layout(*(circuit(f"lamp{n}", f"a{n}") for n in range(1, 4)))).weakest()
    (trip,) = [one for one in found if one.kind == "trip over load"]
    assert (trip.object, trip.alike) == ("circuit lamp1", 2)


def test_a_rating_of_which_nothing_is_left_is_used_without_end():
    burnt = Margin(kind="unit", object="unit main", value=4.0, limit=0.0, unit="A", relief="")
    assert burnt.used == float("inf")
    assert replace(burnt, value=0.0).used == 0.0


def test_what_cannot_be_told_is_left_out():
    found = margins(problem(), layout(circuit(size="3 mm2"), units=(FittedUnit(name="main", site="moon"),)))
    assert {one.kind for one in found.margins} <= {"trip over load", "stud"}
    unknown = margins(problem(), layout(circuit(size="3 mm2"))).wires[0]
    assert (unknown.ampacity_a, unknown.ampacity_used, unknown.drop_used) == (None, None, None)


def test_tables_have_a_row_for_each_margin_and_each_wire():
    found = margins(*LAMP)
    assert list(found.frame()["used"]) == [one.used for one in found.margins]
    assert list(found.wire_frame()["wire"]) == [one.wire for one in found.wires]


def test_margins_are_frozen():
    with pytest.raises(FrozenInstanceError):
        margins(*LAMP).margins[0].value = 0.0  # type: ignore[misc]


def relief(kind: str, what: str, given: Problem, decisions: Layout) -> str:
    (one,) = [one for one in margins(given, decisions).margins if (one.kind, one.object) == (kind, what)]
    return one.relief


def test_a_size_up_relieves_a_wire_with_the_figure_it_then_has():
    bigger = f"{carries_a('2.5 mm2'):.3g}"
    text = f"2.5 mm2 would carry {bigger} A; or a cooler route"
    assert relief("ampacity", "circuit lamp, out wire", *LAMP) == text


def test_an_output_that_takes_no_larger_wire_needs_another_way():
    decisions = layout(circuit(size="2.5 mm2"))
    text = "no larger size is available: a cooler route"
    assert relief("ampacity", "circuit lamp, out wire", problem(), decisions) == text
    assert relief("ampacity", "circuit lamp, return wire", problem(), decisions).startswith("4 mm2 would carry")


def test_a_wire_in_foam_is_relieved_by_air():
    given = problem(load("lamp"), margins={"bundle": Bundling.HEAT}, segments=IN_FOAM)
    decisions = layout(circuit("lamp", size="2.5 mm2"))
    assert relief("ampacity", "circuit lamp, out wire", given, decisions).endswith(
        "a route with more air round it, or a cooler one"
    )


def test_the_heat_of_a_bundle_is_a_margin_and_says_what_a_size_up_would_leave():
    given = problem(load("lamp", return_to="source"), margins={"bundle": Bundling.HEAT})
    decisions = layout(circuit(wires=(out(size="1.5 mm2"), back(size="1.5 mm2"))))
    found = {one.object: one for one in margins(given, decisions).margins if one.kind == "heat of bundle"}
    laid = [(own.name, own.warmest) for own in bundles(given, decisions) if own.warmest is not None]
    assert {*found} == {f"bundle {name} in condition {one.condition}" for name, one in laid}
    assert laid
    for n, (name, one) in enumerate(laid):
        margin = found[f"bundle {name} in condition {one.condition}"]
        assert (margin.used, margin.unit) == (pytest.approx(one.share), "W/m")
        assert one.hottest == "circuit lamp, out wire"
        heavier = bundles(given, layout(circuit(wires=(out(size="2.5 mm2"), back(size="1.5 mm2")))))
        after = [own.warmest for own in heavier if own.warmest is not None][n]
        assert margin.relief == (
            f"2.5 mm2 for circuit lamp, out wire would leave {100.0 * after.share:.0f} %; "
            "or a way round it for circuit lamp, out wire"
        )


def test_by_the_table_the_loading_of_a_bundle_is_a_margin_against_what_is_stated():
    stated = {"bundle": Bundling.TABLE, "bundle_wires": 6, "bundle_loading": 0.6}
    given = problem(load("lamp"), load("fan"), margins=stated)
    decisions = layout(circuit("lamp", size="2.5 mm2"), circuit("fan", "a2", "2.5 mm2"))
    found = {one.object: one for one in margins(given, decisions).margins if one.kind == "loading of bundle"}
    for own in (own for own in bundles(given, decisions) if own.wires):
        condition, share = own.fullest
        one = found[f"bundle {own.name} in condition {condition}"]
        assert (one.value, one.limit, one.unit) == (pytest.approx(100.0 * share), pytest.approx(60.0), "%")
    assert found


def test_the_way_on_which_a_size_up_helps_most_is_named_with_the_drop_it_leaves():
    left = lost_v("2.5 mm2", 2.3, 4.0) + lost_v("1.5 mm2", 0.3, 4.0)
    text = f"2.5 mm2 for its way out would leave {left:.3g} V; or a shorter run"
    assert relief("drop", "load lamp", *LAMP) == text
    thin_return = layout(circuit(wires=(out(size="2.5 mm2"), back(size="0.5 mm2"))))
    left = lost_v("2.5 mm2", 2.3, 4.0) + lost_v("1 mm2", 0.3, 4.0)
    assert relief("drop", "load lamp", problem(), thin_return).startswith(
        f"1 mm2 for its return would leave {left:.3g} V"
    )


@pytest.mark.parametrize(
    ("given", "decisions", "text"),
    [
        (*LAMP, "a larger trip margin: the next setting is 5.5 A, which its wires stand"),
        (
            problem(load(current_a=8.0), margins={"branch_drop": 0.3}),
            layout(circuit(size="0.5 mm2")),
            "an output with a higher setting",
        ),
        (
            problem(load(current_a=6.0), margins={"branch_drop": 0.3}),
            layout(circuit(size="0.35 mm2")),
            "a larger trip margin: the next setting is 8 A, with larger wire for it",
        ),
    ],
    ids=["as wired", "none above", "with larger wire"],
)
def test_a_trip_is_relieved_by_the_next_setting(given, decisions, text):
    assert relief("trip over load", "circuit lamp", given, decisions) == text


def test_a_fuse_is_relieved_by_the_next_one():
    text = "less fuse use: the next fuse is 7.5 A, which its wires stand"
    assert relief("fuse over load", "feed of unit main", *LAMP) == text
    big = layout(units=(FittedUnit(name="main", site="front", feed=Feed(size="6 mm2", fuse_a=500.0)),))
    assert relief("fuse over load", "feed of unit main", problem(), big).startswith("less current")


def test_an_output_is_relieved_by_a_better_one_or_by_one_more():
    assert relief("output", "circuit lamp", *LAMP) == "an output of a higher rating"
    one = problem(load(current_a=12.0)), layout(circuit(pins="b1", size="4 mm2"))
    assert relief("output", "circuit lamp", *one) == "an output of a higher rating; or 2 of these in parallel"
    shared = relief("output", "circuit lamp spot", problem(*SHARED), layout(shared_circuit()))
    assert shared == "an output of a higher rating; or one load fewer on it"


def test_a_unit_is_relieved_of_its_largest_circuit():
    given = problem(load("lamp"), load("fan", current_a=3.0))
    decisions = layout(circuit("lamp"), circuit("fan", "a2"))
    assert relief("unit", "unit main", given, decisions) == "moving lamp to another unit would leave 3 A"
    assert relief("bank", "bank left of unit main", given, decisions) == "moving lamp to another bank would leave 3 A"
    assert relief("bank", "bank right of unit main", given, decisions) == "nothing is fed from it"


def test_a_stud_is_relieved_of_its_largest_load():
    given = problem(load("lamp"), load("fan", current_a=3.0), places=places(rear=replace(REAR, stud_a=8.0)))
    decisions = layout(circuit("lamp"), circuit("fan", "a2"))
    assert relief("stud", "stud rear", given, decisions) == "moving lamp to another stud would leave 3 A"


def test_every_margin_of_a_rich_layout_has_its_relief():
    found = margins(rich_problem(), rich_complete()).margins
    assert {one.kind for one in found} == set(KINDS) - {"loading of bundle"}  # which is by the table
    assert all(one.relief for one in found)
