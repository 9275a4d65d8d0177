"""Loads fused at the source: what is filled in, and the rules they share with circuits."""

from __future__ import annotations

from typing import Any

import pytest

from allocator.checking import check
from allocator.evaluation.complete import complete
from allocator.layout import DirectCircuit, PlacedWire
from allocator.problem import Bulkhead, Bundling, ContactSet, Function, Run, Supply, WireRules
from tests.checking.builders import REAR, SEGMENTS, back, layout, load, out, places, problem, replace
from tests.checking.cases_bundles import TWO_SOURCES
from tests.checking.cases_wires import lost_v


def pump(**changes: Any):
    return load("pump", **{"current_a": 12.0, "supply": Supply.DIRECT, **changes})


def direct(*wires: PlacedWire, **changes: Any) -> DirectCircuit:
    return DirectCircuit(**{"load": "pump", "source": "", "wires": wires, **changes})


def sized(size: str) -> PlacedWire:
    return PlacedWire(role="any", size=size)


def completed(one: DirectCircuit, own=None, **changes: Any) -> DirectCircuit:
    return complete(problem(load(), own or pump(), **changes), layout(direct=(one,))).direct[0]


def broken(one: DirectCircuit, own=None, **changes: Any) -> dict[str, float]:
    """Amount by rule and object of what is violated; the same volts are held against the whole network elsewhere."""
    report = check(problem(load(), own or pump(), **changes), layout(direct=(one,)))
    return {f"{v.rule}: {v.object}": v.amount for v in report.violations if not v.rule.startswith("network")}


def test_source_fuse_and_wires_are_filled_in():
    done = completed(direct(sized("4 mm2")), sources=TWO_SOURCES)
    assert (done.source, done.fuse_a, done.current_a) == ("battery", 15.0, 12.0)
    assert [(w.role, w.size, w.start, w.end, w.length_m) for w in done.wires] == [
        ("out", "4 mm2", "battery", "rear", 2.8), ("return", "4 mm2", "rear", "rear", 0.3)
    ]  # fmt: skip


def test_without_a_size_the_lightest_that_serves_is_taken():
    # a fuse of 15 A asks for 1.5 mm2, 3 % of drop for 2.5 mm2, 1.5 % for 6 mm2
    sizes = [{wire.size for wire in completed(direct(), pump(max_drop=most)).wires} for most in (0.2, 0.03, 0.015)]
    assert sizes == [{"1.5 mm2"}, {"2.5 mm2"}, {"6 mm2"}]


def test_a_missing_return_has_the_size_of_the_outgoing_wire():
    assert [wire.size for wire in completed(direct(out(size="6 mm2"))).wires] == ["6 mm2", "6 mm2"]


def test_a_completed_direct_load_keeps_every_rule():
    for margins in ({}, {"bundle": Bundling.HEAT}):
        assert broken(direct(), margins=margins) == {}


def test_nothing_is_made_up_where_no_size_serves():
    assert "wires complete: direct load pump" in broken(direct(), pump(max_drop=0.0001))


def test_a_size_of_either_table_will_do():
    assert broken(direct(sized("25 mm2"))) == {}
    assert list(broken(direct(sized("3 mm2")))) == [
        "wire size: direct load pump, out wire", "wire size: direct load pump, return wire"
    ]  # fmt: skip


def test_shelf_and_smallest_are_for_the_wire_table_only():
    rules = WireRules(sizes=("1.5 mm2",))
    lamp_on = {"wire_rules": rules}
    assert list(broken(direct(sized("4 mm2")), **lamp_on)) == [
        "wire shelf: direct load pump, out wire", "wire shelf: direct load pump, return wire"
    ]  # fmt: skip
    # 6 mm2 is not on the shelf, but there is cable of that size too
    assert broken(direct(sized("6 mm2")), **lamp_on) == {}


def test_a_wire_carries_its_fuse():
    thin = direct(sized("0.5 mm2"))
    found = broken(thin, pump(max_drop=0.9))
    assert list(found) == ["wire ampacity: direct load pump, out wire", "wire ampacity: direct load pump, return wire"]


def test_fuse_of_a_standard_rating_enough_and_no_larger():
    assert broken(direct(sized("4 mm2"), fuse_a=16.0))["standard fuse: direct load pump"] == 1.0
    assert broken(direct(sized("4 mm2"), fuse_a=10.0)) == {"fuse use: direct load pump": pytest.approx(4.0)}
    assert broken(direct(sized("4 mm2"), fuse_a=20.0)) == {"least fuse: direct load pump": 5.0}


def test_a_current_beyond_every_fuse_is_said():
    found = broken(direct(out(size="35 mm2")), pump(current_a=450.0))
    assert found["standard fuse: direct load pump"] == pytest.approx(450.0 - 0.8 * 500.0)


def test_a_start_asks_for_a_larger_fuse_and_wire():
    # 12 A ask for 15 A, which stand 30 A for 0.1 s and 20.25 A for 0.5 s
    fuses = [completed(direct(), pump(inrush_a=a, inrush_s=s)).fuse_a for a, s in ((30, 0.1), (30.1, 0.1), (30, 0.5))]
    assert fuses == [15.0, 20.0, 25.0]
    started = pump(inrush_a=60.0, inrush_s=0.5, max_drop=0.2)
    assert {wire.size for wire in completed(direct(), started).wires} == {"10 mm2"}
    assert broken(direct(), started) == {}
    assert {name.split(":")[0] for name in broken(direct(sized("1.5 mm2")), started)} == {"wire ampacity"}


def test_a_start_counts_whatever_the_levels():
    assert completed(direct(), pump(inrush_a=40.0, inrush_s=0.1, levels=(0.0,))).fuse_a == 20.0


def test_a_fuse_that_a_start_asks_for_is_held_against_stall_and_lead():
    started = {"inrush_a": 40.0, "inrush_s": 0.1}
    assert broken(direct(), pump(**started, stall_a=20.0)) == {"stall: load pump": 0.0}
    assert broken(direct(), pump(**started, max_trip_a=15.0)) == {"largest trip: load pump": 5.0}
    assert broken(direct(fuse_a=25.0), pump(**started)) == {"least fuse: direct load pump": 5.0}


def test_a_start_beyond_every_fuse_is_said():
    found = broken(direct(sized("35 mm2")), pump(inrush_a=1800.0, inrush_s=0.02))
    assert found["standard fuse: direct load pump"] == pytest.approx(1800.0 - 3.5 * 500.0)


def test_a_fuse_below_stall_and_within_what_the_load_allows():
    assert broken(direct(), pump(stall_a=15.0)) == {"stall: load pump": 0.0}
    assert broken(direct(), pump(max_trip_a=14.0)) == {"largest trip: load pump": 1.0}
    assert broken(direct(), pump(stall_a=15.1, max_trip_a=15.0)) == {}


def test_both_wires_count_for_the_drop():
    lost = lost_v("4 mm2", 2.8, 12.0) + lost_v("4 mm2", 0.3, 12.0)
    assert completed(direct(sized("4 mm2"))).drop_percent == pytest.approx(100.0 * lost / 13.6)
    found = broken(direct(sized("4 mm2")), pump(max_drop=0.01))
    assert found == {"branch drop: load pump": pytest.approx(lost - 0.136)}


def test_a_direct_load_has_no_feed_to_lose_volts_on():
    lost = lost_v("4 mm2", 2.8, 12.0) + lost_v("4 mm2", 0.3, 12.0)
    assert broken(direct(sized("4 mm2")), pump(min_volts_v=11.5 - lost)) == {}
    found = broken(direct(sized("4 mm2")), pump(min_volts_v=11.5 - lost + 0.1))
    assert found == {"least volts: load pump": pytest.approx(0.1)}


def test_a_wire_with_other_ends_is_found():
    assert list(broken(direct(out(size="4 mm2", start="front"), back(size="4 mm2")))) == [
        "wire ends: direct load pump, out wire"
    ]
    assert list(broken(direct(out(size="6 mm2"), back(size="6 mm2", end="middle")))) == [
        "wire ends: direct load pump, return wire"
    ]


def test_one_outgoing_wire_and_one_return():
    assert broken(direct(out(size="4 mm2"), out(size="4 mm2"), back(size="4 mm2"))) == {
        "wires complete: direct load pump": 1
    }
    assert broken(direct(back(size="4 mm2")), pump()) == {"wires complete: direct load pump": 1}


def test_a_return_to_the_source_ends_there():
    assert [w.end for w in completed(direct(), pump(return_to="source")).wires] == ["rear", "battery"]


def test_a_run_measured_from_the_source_replaces_length_tail_and_lead():
    runs = (Run(load="pump", site="battery", length_m=2.5),)
    assert completed(direct(sized("4 mm2")), pump(lead_m=0.2), runs=runs).wires[0].length_m == 2.5
    assert completed(direct(sized("4 mm2")), pump(lead_m=0.2)).wires[0].length_m == pytest.approx(2.6)


def test_copper_counts_as_branch_copper_and_in_the_totals():
    without = complete(problem(), layout()).totals
    report = check(problem(load(), pump()), layout(direct=(direct(sized("4 mm2")),)))
    copper = sum(wire.copper_g for wire in report.layout.direct[0].wires)
    assert copper == pytest.approx(4.0 * 3.1 * 8.89)
    assert report.totals.branch_copper_g == pytest.approx(without.branch_copper_g + copper)
    assert report.totals.length_m == pytest.approx(without.length_m + 3.1)
    assert report.totals.outputs_used == without.outputs_used


def test_its_return_loads_the_stud():
    weak = places(rear=replace(REAR, stud_a=10.0))
    assert broken(direct(), places=weak) == {"stud current: stud rear in condition all on": 6.0}


WALL = (SEGMENTS[0], replace(SEGMENTS[1], bulkhead="wall"), SEGMENTS[2])


def walled(count: int) -> dict[str, Any]:
    sets = (ContactSet(count=count, wire_mm2=(0.5, 6.0)),)
    return {"segments": WALL, "bulkheads": (Bulkhead(name="wall", contacts=sets),)}


def test_each_wire_takes_a_contact():
    done = completed(direct(), **walled(2))
    assert [len(wire.contacts) for wire in done.wires] == [1, 0]
    assert broken(direct(), **walled(1)) == {"contact named: direct load pump, out wire": 1}


@pytest.mark.parametrize(
    ("kind", "named"), [("source", "source battery"), ("bulkhead", "bulkhead wall"), ("stud", "stud rear")]
)
def test_a_failure_takes_direct_loads_too(kind, named):
    pair = Function(name="pair", loads=("lamp", "pump"), survive=1, against=(kind,))
    assert broken(direct(), functions=(pair,), **walled(9)) == {f"function: function pair without {named}": 1}


@pytest.mark.parametrize("kind", ["feed", "unit", "bank", "output"])
def test_what_feeds_the_units_does_not_take_a_direct_load(kind):
    pair = Function(name="pair", loads=("lamp", "pump"), survive=1, against=(kind,))
    assert broken(direct(), functions=(pair,)) == {}


def test_a_load_may_not_be_fed_both_ways():
    given = problem(load(), pump())
    assert {v.rule for v in check(given, layout()).violations} == {"direct load"}


def test_figures_that_are_stated_are_held_against_the_recomputed():
    assert broken(direct(current_a=12.5)) == {"stated figures: direct load pump": 0.5}
    assert broken(direct(out(size="4 mm2", length_m=3.0))) == {
        "stated figures: direct load pump, wire 1 (out)": pytest.approx(0.2)
    }
