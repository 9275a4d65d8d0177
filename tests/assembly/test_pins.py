"""Dealing out outputs and contacts, against all ways there are."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from allocator.assembly.pins import PinStock, deal

CLASSES = range(4)
wishes_drawn = st.lists(st.frozensets(st.sampled_from(CLASSES), min_size=1), max_size=5)
supply_drawn = st.fixed_dictionaries({q: st.integers(0, 3) for q in CLASSES})
worth_drawn = st.fixed_dictionaries({q: st.sampled_from((5.0, 8.0, 8.5, 20.0)) for q in CLASSES})


def ways(wishes: list[frozenset[int]], supply: dict[int, int]) -> list[tuple[int, ...]]:
    """Every way to give each wish a class that it accepts within the supply."""
    given_all = product(*(sorted(accepted) for accepted in wishes))
    return [way for way in given_all if all(way.count(q) <= supply[q] for q in CLASSES)]


def rank_sum(dealt: tuple[int, ...], worth: dict[int, float]) -> int:
    ranks = sorted(set(worth.values()))
    return sum(ranks.index(worth[q]) for q in dealt)


@settings(max_examples=300, deadline=None)
@given(wishes=wishes_drawn, supply=supply_drawn, worth=worth_drawn)
def test_dealing_finds_the_way_of_least_worth_or_says_that_there_is_none(
    wishes: list[frozenset[int]], supply: dict[int, int], worth: dict[int, float]
) -> None:
    possible = ways(wishes, supply)
    if not possible:
        with pytest.raises(ValueError, match="fewer outputs or contacts than takers"):
            deal(wishes, supply, worth)
        return
    dealt = tuple(deal(wishes, supply, worth))
    assert dealt in possible
    assert rank_sum(dealt, worth) == min(rank_sum(way, worth) for way in possible)


@settings(max_examples=200, deadline=None)
@given(wishes=wishes_drawn, supply=supply_drawn, worth=worth_drawn)
def test_takers_of_one_set_are_served_in_order_of_worth(
    wishes: list[frozenset[int]], supply: dict[int, int], worth: dict[int, float]
) -> None:
    if not ways(wishes, supply):
        return
    dealt = deal(wishes, supply, worth)
    for accepted in set(wishes):
        own = [worth[q] for wish, q in zip(wishes, dealt, strict=True) if wish == accepted]
        assert own == sorted(own)


def test_nothing_to_deal_gives_nothing() -> None:
    assert deal([], {0: 1}, {0: 1.0}) == []


def test_a_class_without_a_supply_gives_nothing() -> None:
    with pytest.raises(ValueError, match="fewer outputs"):
        deal([frozenset({0})], {}, {0: 1.0})


def test_the_dear_class_is_kept_for_the_one_that_needs_it() -> None:
    either, dear = frozenset({0, 1}), frozenset({1})
    assert deal([either, dear, either], {0: 1, 1: 2}, {0: 8.0, 1: 20.0}) == [0, 1, 1]


def test_pins_are_handed_out_in_order_and_those_kept_free_are_not_counted() -> None:
    stock = PinStock({0: ("L1", "L2", "L3"), 1: ("H1",)})
    assert stock.take([(0, 2)]) == ("L1", "L2")
    assert stock.left({0: 1}) == {0: 0, 1: 1}
    assert stock.take([(0, 1), (1, 1)]) == ("L3", "H1")
