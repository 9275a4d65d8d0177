"""What solving again gave, and that no more is claimed than was tried."""

from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.advising.enlarged import largest_after_revision
from allocator.advising.largest import extra_load
from allocator.checking import check, complete
from allocator.layout import INFEASIBLE, Layout
from allocator.solving import solve
from tests.checking.builders import circuit, layout, load, problem, unit

CURRENTS = [1.0, 4.0, 8.0, 12.0, 16.0, 24.0, 40.0]
CART = problem(load("lamp"), units=(unit(),))
LAID = complete(CART, layout(circuit("lamp", "b1")))


def test_the_largest_that_fits_is_found_and_its_layout_is_clean():
    found = largest_after_revision(CART, LAID, "rear", CURRENTS)
    assert found.layout is not None
    larger = replace(CART, loads=(*CART.loads, extra_load(CART, "rear", found.current_a)))
    assert check(larger, found.layout).clean
    above = CURRENTS[CURRENTS.index(found.current_a) + 1]
    refused = solve(replace(larger, loads=(*CART.loads, extra_load(CART, "rear", above))))
    assert refused.status == INFEASIBLE


def test_moving_the_lamp_makes_room_that_the_layout_as_it_is_does_not_have():
    """With the lamp on one of the two heavy outputs no pair is left."""
    found = largest_after_revision(CART, LAID, "front", CURRENTS)
    assert found.current_a == 24.0


def test_units_stay_where_they_sit():
    seen = []

    def resolve(given):
        seen.append(given.units[0].sites)
        return Layout(problem="cart", status=INFEASIBLE)

    assert largest_after_revision(CART, LAID, "rear", CURRENTS, resolve=resolve).current_a == 0.0
    assert set(seen) == {("front",)}


def test_no_more_is_tried_than_asked_for_and_all_that_was_is_told():
    found = largest_after_revision(CART, LAID, "rear", CURRENTS, tries=2)
    assert len(found.tried) == 2
    assert found.current_a in {0.0, *(current for current, _ in found.tried)}


def test_an_answer_that_breaks_a_rule_does_not_count_as_one_that_fits():
    found = largest_after_revision(CART, LAID, "rear", [4.0], resolve=lambda _: LAID)
    assert (found.current_a, found.layout) == (0.0, None)


def test_an_unknown_place_is_refused():
    with pytest.raises(ValueError, match="'moon' is not a place"):
        largest_after_revision(CART, LAID, "moon", CURRENTS)
