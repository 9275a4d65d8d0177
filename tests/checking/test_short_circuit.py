"""Short circuits: what outputs and fuses let through, and what the wires behind them stand."""

from __future__ import annotations

import pytest

from allocator.checking import check
from allocator.checking.report import number
from allocator.checking.short_circuit import fuse_lets_through_a2s, output_lets_through_a2s
from allocator.wiring import withstand_a2s
from tests.checking.builders import back, box, circuit, heavy, layout, light, load, out, problem
from tests.checking.cases_bundles import row, shorted

WIDE = {"branch_drop": 0.2}


def test_an_output_lets_through_its_worst_peak_in_all_its_tries():
    assert output_lets_through_a2s(light(peaks=((100.0, 0.1), (50.0, 1.0)), retries=3)) == 4 * 2500.0
    assert output_lets_through_a2s(light()) is None


def test_a_fuse_lets_through_six_times_its_rating_for_a_tenth_of_a_second():
    assert fuse_lets_through_a2s(10.0) == pytest.approx(360.0)


def test_quick_retries_burn_a_wire_that_one_try_does_not():
    assert check(*shorted(retries=0)).clean
    found = check(*shorted(retries=3)).violations
    assert {violation.object for violation in found} == {"circuit lamp, out wire", "circuit lamp, return wire"}
    stands = withstand_a2s(row("0.5 mm2"))
    assert found[0].text == (
        f"circuit lamp, out wire of 0.5 mm2 withstands {number(stands)} A2s in a short circuit, "
        f"{number(4000 - stands)} A2s less than its output in 4 tries lets through"
    )


def test_all_outputs_of_a_group_feed_a_fault_through_the_return():
    peaked = box(outputs=(light(), heavy(peaks=((300.0, 0.7),))))
    given = problem(load(current_a=25.0), unit_types=(peaked,), margins=WIDE)
    wires = (out(size="4 mm2"), out(size="4 mm2"), back(size="4 mm2"))
    found = check(given, layout(circuit(pins="b1 b2", wires=wires))).violations
    # 63,000 A2s each: 4 mm2 stands 134,800, twice the current is four times the heat
    assert [(v.rule, v.object) for v in found] == [("short circuit", "circuit lamp, return wire")]
    assert found[0].amount == pytest.approx(4 * 63000.0 - withstand_a2s(row("4 mm2")))
    wires = (out(size="4 mm2"), out(size="4 mm2"), back(size="6 mm2"))
    assert check(given, layout(circuit(pins="b1 b2", wires=wires))).clean


def test_where_no_peak_is_named_nothing_is_known():
    assert check(problem(load(current_a=2.0)), layout(circuit(size="0.5 mm2"))).clean
