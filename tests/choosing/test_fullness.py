"""How full segments are, what of that is too much, and what is sized for a fullness that is known."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache

import pytest

from allocator.choosing import Choice, choose
from allocator.choosing.fullness import assumed, counted, laid, overfull
from allocator.layout import OPTIMAL
from allocator.pricing import Pricing, price
from allocator.problem import Problem
from tests.choosing.cases import FITS, answer, problem, whole
from tests.engine.draws import ALL, SMALL, draw

FEW = replace(SMALL, loads=(4, 5), units=(2, 2))


@cache
def in_bundles() -> tuple[tuple[Problem, Pricing, Choice], ...]:
    """Drawn problems in bundles that have a layout, all that their models choose from, and the best choice."""
    found = []
    for seed in range(16):
        drawn = draw(seed, FEW, ALL - {"straight"}, chance=0.2)
        drawn = replace(drawn, margins=replace(drawn.margins, bundle=True))
        pricing = whole(drawn)
        choice = choose(pricing)
        if choice.status == OPTIMAL:
            found.append((drawn, pricing, choice))
    return tuple(found)


def test_in_a_whole_model_nothing_is_overfull() -> None:
    for _, pricing, choice in in_bundles():
        wires = list(laid(pricing, choice))
        assert overfull(pricing.crowd, wires, counted(wires)) == {}


def test_what_is_sized_for_an_assumed_fullness_is_an_answer() -> None:
    compared = 0
    for drawn, pricing, choice in in_bundles():
        assert pricing.crowd is not None
        crowd = assumed(pricing.crowd, counted(laid(pricing, choice)))
        found = answer(price(drawn, crowd=crowd))
        assert found.objective_g == pytest.approx(choice.objective_g)
        compared += 1
    assert compared >= 6


def test_what_is_sized_for_an_assumed_fullness_does_not_pass_it() -> None:
    compared = 0
    for drawn, pricing, choice in in_bundles():
        assert pricing.crowd is not None
        emptier = {e: n // 2 for e, n in counted(laid(pricing, choice)).items()}
        crowd = assumed(pricing.crowd, Counter(emptier))
        sized = price(drawn, crowd=crowd)
        found = choose(sized)
        if found.status == OPTIMAL:
            full = counted(laid(sized, found))
            assert all(full[e] <= most for e, most in crowd.most.items())
            compared += 1
    assert compared >= 3


def test_wires_are_counted_once_in_every_segment_they_pass() -> None:
    pricing = whole(problem("room_in_bundles", FITS))
    assert counted(laid(pricing, choose(pricing)))[1] == 2


def test_where_wires_are_sized_as_if_alone_the_numbers_that_are_passed_are_named() -> None:
    alone = price(problem("room_in_bundles", FITS), watched={})
    wires = list(laid(alone, choose(alone)))
    full = counted(wires)
    over = overfull(alone.crowd, wires, full)
    assert all(bears < full[e] for e, numbers in over.items() for bears in numbers)
