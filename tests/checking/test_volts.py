"""Volts of small layouts by hand, node by node, against sums that can be done on paper."""

from __future__ import annotations

from dataclasses import FrozenInstanceError
from typing import Any

import pytest

from allocator.checking import check
from allocator.checking.report import number
from allocator.evaluation.network_volts import NetworkVolts, volts
from allocator.layout import Contact, DirectCircuit, Layout
from allocator.problem import Bulkhead, ContactSet, Place, Problem, Supply
from tests.checking.builders import (
    SEGMENTS,
    SHARED,
    back,
    circuit,
    layout,
    load,
    out,
    places,
    problem,
    replace,
    shared_circuit,
)
from tests.checking.cases_wires import lost_v

RUNNING, LOWEST = 13.6, 11.5


def at(found: NetworkVolts, node: str, condition: str = "all on") -> float:
    """Volts of the one node of that name, with the source at its running voltage."""
    (volts_v,) = [one.volts_v for one in found.nodes if (one.node, one.condition) == (node, condition)]
    return volts_v


def of_load(given: Problem, decisions: Layout, name: str = "lamp", condition: str = "all on") -> Any:
    (one,) = [one for one in volts(given, decisions).loads if (one.load, one.condition) == (name, condition)]
    return one


FEED = lost_v("6 mm2", 0.8, 4.0)
OUT, BACK = lost_v("1.5 mm2", 2.3, 4.0), lost_v("1.5 mm2", 0.3, 4.0)


def test_every_node_of_a_lamp():
    found = volts(problem(), layout())
    expected = {
        "source battery +": RUNNING,
        "unit main": RUNNING - FEED,
        "load lamp +": RUNNING - FEED - OUT,
        "load lamp -": BACK,
        "stud rear": 0.0,
    }
    assert {one.node: one.volts_v for one in found.nodes} == pytest.approx(expected)


def test_a_lamp_between_its_terminals():
    one = of_load(problem(load(max_drop=0.05)), layout())
    assert one.volts_v == pytest.approx(RUNNING - FEED - OUT - BACK)
    assert one.lowest_v == pytest.approx(LOWEST - FEED - OUT - BACK)
    assert (one.feed_v, one.drop_v) == pytest.approx((FEED, OUT + BACK))
    assert (one.current_a, one.limit_v) == pytest.approx((4.0, 0.05 * RUNNING))


def test_a_condition_draws_what_heats_and_the_wire_keeps_the_resistance_of_its_full_current():
    given = problem(
        load(needs=("dim",), levels=(0.25, 0.0)), load("fan", levels=(1.0, 1.0)), conditions=("night", "day")
    )
    decisions = layout(circuit(pins="b1"), circuit("fan", "a1"))
    assert of_load(given, decisions, condition="night").drop_v == pytest.approx(0.5 * (OUT + BACK))
    idle = of_load(given, decisions, condition="day")
    assert (idle.current_a, idle.drop_v) == (0.0, pytest.approx(0.0))
    # the fan has a share of the feed, and what the other load draws shows at its terminals
    feed_ohm = lost_v("6 mm2", 0.8, 6.0) / 6.0
    assert of_load(given, decisions, "fan", "night").feed_v == pytest.approx(6.0 * feed_ohm)
    assert of_load(given, decisions, "fan", "day").feed_v == pytest.approx(4.0 * feed_ohm)


def test_spread_makes_a_wire_hotter_but_is_not_drawn():
    given = problem(load(spread=0.5))
    one = of_load(given, layout())
    assert one.current_a == 4.0
    assert one.drop_v == pytest.approx((lost_v("1.5 mm2", 2.3, 6.0) + lost_v("1.5 mm2", 0.3, 6.0)) / 1.5)


def test_parallel_wires_divide_the_current_by_their_resistances():
    """Alike but for a contact of 10 mohm in one: more than half flows through the other."""
    wall = Bulkhead(name="wall", contacts=(ContactSet(count=9, wire_mm2=(0.5, 6.0), resistance_ohm=0.01),
                                           ContactSet(count=9, wire_mm2=(0.5, 6.0))))  # fmt: skip
    segments = (SEGMENTS[0], replace(SEGMENTS[1], bulkhead="wall"), SEGMENTS[2])
    given = problem(load(current_a=25.0, max_drop=0.1), segments=segments, bulkheads=(wall,))
    first, second = ((Contact(bulkhead="wall", set=n),) for n in (0, 1))
    wires = (out(size="4 mm2", contacts=first), out(size="4 mm2", contacts=second), back(size="6 mm2"))
    found = volts(given, layout(circuit(pins="b1 b2", wires=wires)))
    ohm = lost_v("4 mm2", 2.3, 12.5) / 12.5
    together = 25.0 / (1.0 / (ohm + 0.01) + 1.0 / ohm)
    assert at(found, "unit main") - at(found, "load lamp +") == pytest.approx(together)
    before = at(found, "circuit lamp, out wire 1, before its contacts")
    assert before - at(found, "load lamp +") == pytest.approx(together * 0.01 / (ohm + 0.01))


def test_the_current_of_a_bridge_returns_through_the_unit():
    found = volts(problem(load(needs=("bridge",))), layout(circuit(pins="b1 b2")))
    assert at(found, "unit main") - at(found, "load lamp +") == pytest.approx(OUT)
    assert at(found, "load lamp -") == pytest.approx(OUT)
    (ground,) = [one for one in found.grounds if one.ground == "ground of unit main"]
    assert ground.current_a == pytest.approx(4.0)


def test_pieces_and_splices_of_a_shared_output():
    found = volts(problem(*SHARED), layout(shared_circuit()))
    trunk, branch = lost_v("1.5 mm2", 1.3, 6.0), lost_v("1.5 mm2", 1.3, 4.0)
    before, after = "circuit lamp spot, before the splices at middle", "circuit lamp spot, splices at middle"
    assert at(found, "unit main") - at(found, before) == pytest.approx(trunk)
    assert at(found, before) - at(found, after) == pytest.approx(0.0005 * 6.0)
    assert at(found, after) - at(found, "load lamp +") == pytest.approx(branch)


def test_a_return_to_the_source_does_not_load_the_stud_there():
    found = volts(problem(load(return_to="source"), load("fan", return_to="battery")), both())
    grounds = {one.ground: one.current_a for one in found.grounds}
    assert grounds == pytest.approx({"source battery -": 4.0, "stud battery": 4.0})


def both() -> Layout:
    return layout(circuit("lamp"), circuit("fan", "a2"))


def test_studs_take_what_returns_there():
    found = volts(problem(load("lamp"), load("fan", current_a=3.0)), both())
    assert [(one.ground, one.current_a) for one in found.grounds] == [("stud rear", pytest.approx(7.0))]


def test_without_studs_a_load_is_grounded_where_it_sits():
    bare = tuple(Place(name=place.name) for place in places())
    found = volts(problem(places=bare), layout())
    assert at(found, "ground at rear") == 0.0
    assert at(found, "load lamp -") == pytest.approx(BACK)


def test_a_direct_load_has_no_feed():
    given = problem(load(), load("winch", "middle", 40.0, supply=Supply.DIRECT))
    found = volts(given, layout(direct=(DirectCircuit(load="winch", source="battery"),)))
    (winch,) = [one for one in found.loads if one.load == "winch"]
    assert winch.feed_v == 0.0
    assert winch.volts_v == pytest.approx(at(found, "load winch +") - at(found, "load winch -"))
    assert 0.0 < winch.drop_v <= winch.limit_v


def test_wires_of_no_length_lose_nothing():
    given = problem(load(place="front", lead_m=0.5, return_to="battery"), margins={"tail_m": 0.0})
    found = volts(given, layout())
    assert at(found, "load lamp +") == at(found, "unit main")
    assert at(found, "load lamp -") > 0.0


def test_a_ground_in_the_load_itself_takes_all_its_current():
    found = volts(problem(margins={"tail_m": 0.0}), layout())
    assert at(found, "load lamp -") == 0.0
    assert [(one.ground, one.current_a) for one in found.grounds] == [("stud rear", pytest.approx(4.0))]


@pytest.mark.parametrize(
    "decisions",
    [
        layout(circuit(size="3 mm2")),
        layout(circuit(unit="ghost")),
        layout(circuit(wires=(out(), back(), back()))),
        layout(circuit(wires=(out(route=("front", "rear")), back()))),
        layout(circuit("lamp ghost")),
    ],
    ids=["no such size", "no such unit", "two returns", "no such route", "a load that is none"],
)
def test_a_load_whose_wires_are_not_all_known_is_named(decisions):
    found = volts(problem(), decisions)
    assert (found.loads, found.unknown) == ((), ("lamp",))


def test_a_load_is_told_by_its_condition_of_lowest_volts():
    given = problem(load("lamp", levels=(0.5, 1.0)), load("fan", levels=(0.25, 0.5)), conditions=("day", "night"))
    assert [(one.load, one.condition) for one in volts(given, both()).worst] == [("lamp", "night"), ("fan", "night")]


def test_the_sentences_name_condition_figure_and_limit():
    found = check(problem(load(max_drop=0.005, min_volts_v=11.4)), layout()).violations
    texts = {violation.rule: violation.text for violation in found}
    drop, left = OUT + BACK, LOWEST - FEED - OUT - BACK
    assert texts["network drop"] == (
        f"load lamp loses {number(drop)} V on its wires in all on, {number(drop - 0.068)} V over its 0.068 V"
    )
    assert (
        texts["network volts"]
        == f"load lamp is left {number(left)} V in all on, {number(11.4 - left)} V below its 11.4 V"
    )


def test_a_table_has_a_row_for_each_load_and_condition():
    given = problem(load(levels=(1.0, 0.5)), conditions=("day", "night"))
    table = volts(given, layout()).frame()
    assert list(zip(table["load"], table["condition"], strict=True)) == [("lamp", "day"), ("lamp", "night")]
    assert list(table["drop_v"]) == pytest.approx([OUT + BACK, 0.5 * (OUT + BACK)])


def test_volts_are_frozen():
    found = volts(problem(), layout())
    with pytest.raises(FrozenInstanceError):
        found.loads = ()  # type: ignore[misc]
