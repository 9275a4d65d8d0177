"""How full segments are, what of that is too much, and what is sized for a fullness that is known."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from math import inf

import pytest

from allocator.choosing import Choice, Model, build, choose
from allocator.choosing.fullness import (
    assumed,
    counted,
    filling,
    laid,
    narrowed,
    overfull,
    spread_out,
    worthwhile,
)
from allocator.choosing.rows import at_most
from allocator.choosing.solver import run
from allocator.choosing.variables import Term
from allocator.layout import OPTIMAL
from allocator.pricing import Crowd, Pricing, price
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


# ---- what a known layout leaves ----------------------------------------------------------------------------------


def filled(model: Model, terms: Iterable[Term], cutoff_g: float, *, most: bool) -> float | None:
    """The least, or most, that a sum comes to in any solution within a cutoff, by solving for it; None without one."""
    sign = -1.0 if most else 1.0
    light = () if cutoff_g == inf else (("light", at_most("light", model.objective, cutoff_g - model.constant_g)),)
    ends = replace(model, objective=tuple((x, sign * c) for x, c in terms), rows=(*model.rows, *light), constant_g=0.0)
    outcome = run(ends)
    assert outcome.proven != outcome.infeasible
    return None if outcome.values is None else sum(c * outcome.values[x.index] for x, c in terms)


@pytest.mark.parametrize("worse_g", [0.0, 5.0, inf])
def test_what_segments_are_narrowed_to_holds_for_every_solution_within_the_cutoff(worse_g: float) -> None:
    compared, narrower = 0, 0
    for _, pricing, choice in in_bundles()[:6]:
        assert pricing.crowd is not None
        model, cutoff_g = build(pricing), (choice.objective_g or 0.0) + worse_g
        crowd = narrowed(pricing.crowd, model, cutoff_g)
        assert crowd is not None
        assert crowd.held == {e for e, most in crowd.most.items() if most < pricing.crowd.most[e]}
        terms, settled = filling(model.variables)
        for e, most in crowd.most.items():
            narrower += most - crowd.least[e] < pricing.crowd.most[e] - pricing.crowd.least[e]
            if e in terms:
                low, high = (filled(model, terms[e], cutoff_g, most=end) for end in (False, True))
                assert low is not None
                assert high is not None
                assert crowd.least[e] <= low + settled[e] + 1e-6
                assert most >= high + settled[e] - 1e-6
                compared += 1
            else:
                assert most == crowd.least[e] == settled[e]
    assert compared >= 10
    assert narrower >= 6


def test_nothing_is_narrowed_to_where_the_cutoff_lies_below_every_bound() -> None:
    for _, pricing, _ in in_bundles():
        assert pricing.crowd is not None
        assert narrowed(pricing.crowd, build(pricing), 1.0) is None
        assert worthwhile(build(pricing), 1.0) is None


def test_where_nothing_is_narrowed_to_no_solution_is_within_the_cutoff() -> None:
    said = 0
    for _, pricing, choice in in_bundles():
        assert pricing.crowd is not None
        model = build(pricing)
        for share in (0.99, 0.95, 0.9, 0.8):
            cutoff_g = share * (choice.objective_g or 0.0)
            if narrowed(pricing.crowd, model, cutoff_g) is None:
                assert filled(model, model.objective, cutoff_g, most=False) is None
                said += 1
    assert said >= 6


def test_with_what_is_worthwhile_the_answer_is_the_same() -> None:
    fewer = 0
    for _, pricing, choice in in_bundles():
        kept = worthwhile(build(pricing), choice.objective_g or 0.0)
        assert kept is not None
        assert [option.index for option in kept.options] == list(range(len(kept.options)))
        assert [feed.index for feed in kept.feeds] == list(range(len(kept.feeds)))
        assert choose(kept).objective_g == pytest.approx(choice.objective_g)
        fewer += len(pricing.options) - len(kept.options)
    assert fewer >= 100


@pytest.mark.parametrize("worse_g", [0.0, 5.0])
def test_what_is_not_worthwhile_stands_in_no_solution_within_the_cutoff(worse_g: float) -> None:
    left_out = 0
    for _, pricing, choice in in_bundles()[:6]:
        model, cutoff_g = build(pricing), (choice.objective_g or 0.0) + worse_g
        kept = worthwhile(model, cutoff_g)
        assert kept is not None
        options = {replace(option, index=0) for option in kept.options}
        feeds = {replace(feed, index=0) for feed in kept.feeds}
        v = model.variables
        gone = [v.take[o.index] for o in pricing.options if replace(o, index=0) not in options]
        gone += [v.feed[f.index] for f in pricing.feeds if replace(f, index=0) not in feeds]
        left_out += len(gone)
        assert filled(model, [(x, 1.0) for x in gone], cutoff_g, most=True) == pytest.approx(0.0)
    assert left_out >= 20


@pytest.mark.parametrize(
    ("least", "most", "numbers", "spread"),
    [
        (0, 3, 6, (0, 1, 2)),  # few enough: every number but the most
        (4, 10, 6, (4, 5, 6, 7, 8, 9)),
        (0, 12, 6, (0, 2, 4, 6, 8, 10)),
        (2, 15, 4, (2, 5, 8, 11)),
        (7, 8, 6, (7,)),
    ],
)
def test_numbers_are_spread_evenly_over_what_a_segment_may_hold(
    least: int, most: int, numbers: int, spread: tuple[int, ...]
) -> None:
    assert spread_out(Crowd(0.6, {3: least}, {3: most}), numbers) == {3: spread}


def test_a_segment_whose_number_of_wires_is_settled_is_not_watched() -> None:
    assert spread_out(Crowd(0.6, {0: 5, 1: 0, 2: 1}, {0: 5, 1: 0, 2: 2}), 6) == {2: (1,)}
