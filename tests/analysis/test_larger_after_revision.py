"""What solving again gave, and that no more is claimed than was tried."""

from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.analysis.headroom import headroom
from allocator.analysis.larger_after_revision import enlarged, largest_after_revision
from allocator.analysis.largest_load import extra_load
from allocator.checking import check
from allocator.evaluation.complete import complete
from allocator.layout import INFEASIBLE, Layout
from allocator.search.solve import solve
from allocator.search.stopwatch import Stopwatch
from tests.checking.builders import box, circuit, layout, load, problem, unit

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


def test_beside_the_largest_load_as_it_is_stands_the_larger_one_that_moves_make_room_for():
    """The lamp sits on one of the two heavy outputs: only where it moves may both of them feed the new load."""
    found = headroom(CART, LAID, ["front"], step_a=4.0, moves=True)
    (as_it_is,), (moved,) = found.largest, found.enlarged
    assert moved.current_a > as_it_is.current_a
    assert moved.revision is not None
    assert moved.revision.moves >= 1
    assert moved.revision.layout is not None
    larger = replace(CART, loads=(*CART.loads, extra_load(CART, "front", moved.current_a)))
    assert check(larger, moved.revision.layout).clean
    frame = found.enlarged_frame()
    assert list(frame.loc[0, ["place", "current_a", "moves"]]) == ["front", moved.current_a, moved.revision.moves]


def test_every_step_is_settled_up_to_what_the_outputs_carry():
    """Two heavy outputs of 20 A in parallel, each used to 0.9 for that and to 0.8 at all, carry 28.8 A."""
    (front,) = headroom(CART, LAID, ["front"], step_a=4.0, moves=True).enlarged
    assert front.current_a == 28.0
    weak = replace(CART, unit_types=(box(continuous_a=22.0),))
    (front,) = headroom(weak, LAID, ["front"], step_a=4.0, moves=True).enlarged
    assert front.current_a == 16.0  # the lamp draws 4 A, and a heavy output carries 16 A
    assert (20.0, INFEASIBLE) in front.tried


def test_moves_are_worked_out_only_where_they_are_asked_for():
    assert headroom(CART, LAID, ["front"], step_a=4.0).enlarged == ()


def test_what_is_not_looked_at_in_the_time_is_left_out():
    known = headroom(CART, LAID, ["front", "rear"], step_a=4.0).largest
    assert list(enlarged(CART, LAID, known, Stopwatch(0.0))) == []
    tried: list[str] = []
    some = list(enlarged(CART, LAID, known, Stopwatch(None, tried.append, lambda: "rear" in " ".join(tried))))
    assert [one.place for one in some] == ["front"]
