"""Sets of warm bundles between which a circuit of a choice loses too much."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from pathlib import Path

from allocator.choosing import Choice, choose
from allocator.choosing.laid import laid
from allocator.choosing.warmth import STEPS, TooWarm, too_warm
from allocator.pricing import Pricing, Watch, price
from allocator.pricing.warm import limit_v, members_of, temperatures, warm_drops_v
from allocator.pricing.watch import Warm
from allocator.problem import Load
from allocator.reading import read_problem

VAN = Path(__file__).parents[2] / "problems" / "clinic-van"


@cache
def met() -> tuple[Pricing, Choice, tuple[TooWarm, ...]]:
    """What a first choice for the clinic van loses too much, one of its units sitting far from most of its loads."""
    problem = read_problem(VAN)
    units = tuple(replace(one, sites=("drug cabinet",)) if one.name == "rear" else one for one in problem.units)
    pricing = price(replace(problem, units=units), relaxed=True, watch=Watch())
    choice = choose(pricing)
    return pricing, choice, tuple(too_warm(pricing, choice, laid(pricing, choice)))


def lost_v(pricing: Pricing, choice: Choice, load: Load, bundles: Iterable[Warm]) -> float:
    """What a load loses in its circuit of a choice between bundles so warm."""
    for o, _ in choice.options:
        option = pricing.options[o]
        own = [(g, x) for g, x in members_of(option.candidate.members, pricing.alike) if x is load]
        if own:
            return dict(warm_drops_v(pricing.problem, option.plan, own, temperatures(bundles)))[load]
    plan = next(pricing.direct[d].plan for d in choice.direct if pricing.direct[d].load is load)
    return dict(warm_drops_v(pricing.problem, plan, [(None, load)], temperatures(bundles)))[load]


def test_in_each_set_the_circuit_loses_just_too_much() -> None:
    pricing, choice, found = met()
    assert found
    for one in found:
        most = limit_v(pricing.problem, one.load)
        for bundles in one.sets:
            assert most < lost_v(pricing, choice, one.load, bundles) <= most * (1.0 + 1e-6)


def test_where_two_bundles_count_sets_with_one_of_them_warmer_come_too() -> None:
    """With the one that was met alone the search creeps: one bundle a little cooler, the other a little warmer."""
    several = [one for one in met()[2] if len(one.bundles) > 1]
    assert several
    for one in several:
        first = temperatures(one.bundles)
        assert len(first) + 1 <= len(one.sets) <= len(STEPS) * len(first) + 1
        for bundles in one.sets[1:]:
            now = temperatures(bundles)
            assert now.keys() <= first.keys()
            assert [now[e] > first[e] for e in sorted(now)].count(True) == 1
