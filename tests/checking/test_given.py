"""Wires that are given: routed, listed, counted, held against what they carry."""

from __future__ import annotations

import pytest

from allocator.checking import check
from allocator.checking.report import number
from allocator.evaluation.complete import complete
from allocator.layout import FEASIBLE, Contact, GivenRun
from allocator.problem import Bulkhead, Bundling, ContactSet, GivenWire
from allocator.wiring import ampacity_a, bundle_factor
from tests.checking.builders import SEGMENTS, layout, problem, replace
from tests.checking.cases_bundles import given, row, run

WALL = (SEGMENTS[0], replace(SEGMENTS[1], bulkhead="wall"), SEGMENTS[2])


def texts(problem_and_layout) -> list[str]:
    return [violation.text for violation in check(*problem_and_layout).violations]


def test_a_given_wire_follows_the_shortest_route():
    done = complete(*given()).given[0]
    assert (done.wire, done.size, done.cores) == ("wake", "1 mm2", 2)
    assert (done.route, done.length_m) == (("battery", "front", "middle", "rear"), 2.8)


def test_masses_are_those_of_all_cores():
    assert complete(*given()).given[0].copper_g == pytest.approx(2 * 2.8 * 8.89)


def test_copper_counts_as_branch_copper_and_every_core_in_the_length():
    without, there = complete(problem(), layout()).totals, complete(*given()).totals
    assert there.branch_copper_g == pytest.approx(without.branch_copper_g + 2 * 2.8 * 8.89)
    assert there.length_m == pytest.approx(without.length_m + 2 * 2.8)
    assert there.feed_copper_g == without.feed_copper_g


def test_a_size_that_only_cable_has_is_taken_from_there():
    cable = GivenWire(name="charge", start="battery", end="front", size="16 mm2", current_a=40.0)
    report = check(problem(given_wires=(cable,)), layout())
    assert report.clean
    assert report.layout.given[0].insulation_c == 100.0


def test_a_route_that_asks_for_better_insulation_has_it():
    hot = (*SEGMENTS[:2], replace(SEGMENTS[2], insulation_c=110.0))
    wake = GivenWire(name="wake", start="battery", end="rear", size="1 mm2")
    assert complete(problem(given_wires=(wake,), segments=hot), layout()).given[0].insulation_c == 125.0


def test_a_core_in_a_bundle_carries_less():
    margins = {"bundle": Bundling.TABLE, "bundle_wires": 12, "bundle_loading": 1.0}
    factor = bundle_factor(12, 1.0)
    carried = 0.8 * ampacity_a(row("1 mm2"), 45.0) * factor
    assert check(*given(current_a=carried - 0.01, margins=margins)).clean
    # at more than 100 % of itself it loads a bundle of its own to more than is stated, too
    assert texts(given(current_a=carried + 1.0, margins=margins))[0] == (
        f"given wire wake of 1 mm2 carries {number(carried)} A at a bundle factor of {number(factor)}, "
        f"1 A less than the {number(carried + 1.0)} A given"
    )


def test_what_is_no_given_wire_or_listed_twice_is_found():
    assert texts(given(run(), run(wire="other"))) == ["'other' is not a given wire of the problem"]
    assert texts(given(run(), run())) == ["given wire wake is listed 2 times"]


def test_another_size_than_the_given_is_found():
    assert texts(given(run(size="2.5 mm2"))) == ["given wire wake is listed as 2 x 2.5 mm2, instead of 2 x 1 mm2"]


def test_a_route_that_ends_elsewhere_is_found():
    assert texts(given(run(route=("battery", "front", "middle")))) == [
        "given wire wake runs from battery to middle, but joins battery and rear"
    ]


def test_only_a_hand_may_leave_it_out():
    there, by_hand = given()
    whole = replace(complete(there, by_hand), status=FEASIBLE)
    assert check(there, whole).clean
    assert texts((there, replace(whole, given=()))) == ["given wire wake leaves 1 decisions out"]


def walled(*sets: ContactSet, contacts: tuple[Contact, ...] = (), current_a: float = 3.0) -> tuple:
    wake = GivenWire(name="wake", start="battery", end="rear", size="1 mm2", cores=2, current_a=current_a)
    there = problem(given_wires=(wake,), segments=WALL, bulkheads=(Bulkhead(name="wall", contacts=sets),))
    return there, layout(given=(run(contacts=contacts),))


NARROW, WIDE = ContactSet(count=1, wire_mm2=(0.5, 1.0), continuous_a=5.0), ContactSet(count=2, wire_mm2=(0.5, 2.5))


def test_each_core_takes_a_contact_of_its_own():
    done = complete(*walled(NARROW, WIDE))
    assert sorted(contact.set for contact in done.given[0].contacts) == [0, 1]
    assert check(*walled(NARROW, WIDE)).clean


def test_a_contact_carries_the_current_of_the_core():
    named = (Contact(bulkhead="wall", set=0), Contact(bulkhead="wall", set=1))
    assert check(*walled(NARROW, WIDE, contacts=named)).clean
    assert texts(walled(NARROW, WIDE, contacts=named, current_a=6.0)) == [
        "given wire wake carries 6 A, 1 A over its contact of bulkhead wall"
    ]


def test_a_core_without_a_contact_is_found():
    assert texts(walled(NARROW, WIDE, contacts=(Contact(bulkhead="wall", set=1),))) == [
        "given wire wake crosses bulkhead wall 2 times, but has 1 contacts there"
    ]


def test_an_unknown_run_has_no_figures():
    done = complete(problem(), layout(given=(GivenRun(wire="other", size="1 mm2", length_m=2.0),)))
    assert done.given[0].length_m is None
