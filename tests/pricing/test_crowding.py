"""How full a segment may become, and how many neighbours a wire bears."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from hypothesis import given
from hypothesis import strategies as st

from allocator.pricing import Crowd, price
from allocator.problem import Problem
from allocator.routing import Network
from allocator.wiring import bundle_factor
from tests.choosing.cases import whole
from tests.engine.draws import ALL, SMALL, draw
from tests.problem.samples import problem


def in_bundles(drawn: Problem) -> Problem:
    return replace(drawn, margins=replace(drawn.margins, bundle=True))


@given(factor=st.floats(0.05, 1.2), loading=st.sampled_from((0.2, 0.4, 0.6, 0.8, 1.0)))
def test_a_wire_bears_the_most_neighbours_that_leave_its_factor(factor: float, loading: float) -> None:
    bears = Crowd(loading, {0: 1}, {0: 40}).bears(0, factor)
    assert bears == sum(1 for n in range(1, 41) if bundle_factor(n, loading) >= factor * (1 - 1e-9))


def test_a_wire_limits_only_the_segments_that_could_become_too_full() -> None:
    route = Network(problem()).shortest("box", "door")
    crowd = Crowd(0.6, {0: 1, 1: 1}, {0: 3, 1: 9})
    assert crowd.caps(route, bundle_factor(4, 0.6)) == ((1, 4),)
    assert crowd.caps(route, bundle_factor(2, 0.6)) == ((0, 2), (1, 2))
    assert crowd.caps(route, bundle_factor(9, 0.6)) == ()


def test_where_few_numbers_matter_a_wire_limits_a_segment_to_the_next_of_them() -> None:
    route = Network(problem()).shortest("box", "door")
    crowd = Crowd(0.6, {0: 1, 1: 1}, {0: 9, 1: 9}, {1: (3, 6)})
    assert crowd.caps(route, bundle_factor(2, 0.6)) == ((1, 3),)
    assert crowd.caps(route, bundle_factor(3, 0.6)) == ((1, 3),)
    assert crowd.caps(route, bundle_factor(4, 0.6)) == ((1, 6),)
    assert crowd.caps(route, bundle_factor(7, 0.6)) == ()
    assert crowd.shared(route) == (1,)


def test_a_wire_that_bears_less_than_a_segment_holds_anyway_does_not_fit() -> None:
    route = Network(problem()).shortest("box", "door")
    crowd = Crowd(0.6, {0: 1, 1: 5}, {0: 3, 1: 9})
    assert not crowd.fits(route, bundle_factor(4, 0.6))
    assert crowd.fits(route, bundle_factor(5, 0.6))
    assert not Crowd(0.6, {0: 0, 1: 0}, {0: 3, 1: 9}).fits(route, 1.01)


def test_segments_that_hold_one_wire_at_most_are_nobodys_concern() -> None:
    route = Network(problem()).shortest("box", "door")
    assert Crowd(0.6, {0: 0, 1: 0}, {0: 1, 1: 2}).shared(route) == (1,)


def test_where_one_wire_and_no_more_is_assumed_the_wires_are_counted() -> None:
    route = Network(problem()).shortest("box", "door")
    assert Crowd(0.6, {0: 1, 1: 2}, {0: 1, 1: 2}, held=frozenset({0, 1})).shared(route) == (0, 1)


def test_a_segment_in_a_higher_column_bears_fewer_wires() -> None:
    crowd = Crowd(0.2, {0: 1, 1: 1}, {0: 19, 1: 19}, raised={1: 0.6})
    factor = bundle_factor(7, 0.6)
    assert crowd.bears(1, factor) == 7
    assert crowd.bears(0, factor) == sum(1 for n in range(1, 20) if bundle_factor(n, 0.2) >= factor)


def test_no_choice_of_options_fills_a_segment_more_than_was_thought_possible() -> None:
    rng, filled = Random(5), 0
    for seed in range(5):
        pricing = whole(in_bundles(draw(seed, SMALL, ALL - {"straight"})))
        if pricing.crowd is None:
            continue
        singles: dict[int, list[int]] = {}
        for option in pricing.options:
            if option.candidate.single:
                singles.setdefault(option.candidate.members[0][0], []).append(option.index)
        for _ in range(50):
            wires = dict.fromkeys(pricing.crowd.most, 0)
            for group, options in singles.items():
                for _ in pricing.alike[group].loads:
                    for e, n in pricing.options[rng.choice(options)].plan.crowded.items():
                        wires[e] += n
            for own in pricing.feeds_by_slot:
                for e in rng.choice(own).crowded if own else ():
                    wires[e] += 1
            assert all(n <= pricing.crowd.most[e] for e, n in wires.items())
            filled += any(n > 1 for n in wires.values())
    assert filled > 50


def test_without_bundles_nobody_counts() -> None:
    pricing = price(problem())
    assert pricing.crowd is None
    assert all(conductor.caps == () for option in pricing.options for conductor in option.conductors)
