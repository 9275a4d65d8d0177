"""How full segments are in layouts that are worth having: bounds that hold for the optimum and change it not."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from allocator.choosing import Choice, choose
from allocator.choosing.fullness import assumed, bounded, counted
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


def test_bounds_from_the_optimum_hold_it_and_narrow_the_segments() -> None:
    compared = narrowed = 0
    for drawn, pricing, choice in in_bundles():
        bare = price(drawn)
        assert bare.crowd is not None
        crowd = bounded(bare, choice.objective_g or 0.0, drawn.margins.bundle_loading)
        wires = counted(pricing, choice)
        assert all(crowd.least[e] <= max(1, n) and n <= crowd.most[e] for e, n in wires.items())
        narrow = price(drawn, crowd=crowd)
        assert answer(narrow).objective_g == pytest.approx(choice.objective_g)
        compared += 1
        narrowed += any(crowd.most[e] < bare.crowd.most[e] for e in crowd.most)
    assert compared >= 6
    assert narrowed >= 3


def test_what_is_sized_for_an_assumed_fullness_is_an_answer_though_not_the_best() -> None:
    compared = 0
    for drawn, pricing, choice in in_bundles():
        bare = price(drawn)
        crowd = assumed(bare, counted(pricing, choice), drawn.margins.bundle_loading)
        found = answer(price(drawn, crowd=crowd))
        assert found.objective_g == pytest.approx(choice.objective_g)
        compared += 1
    assert compared >= 6


def test_wires_are_counted_once_in_every_segment_they_pass() -> None:
    pricing = whole(problem("room_in_bundles", FITS))
    choice = choose(pricing)
    assert counted(pricing, choice)[1] == 2
