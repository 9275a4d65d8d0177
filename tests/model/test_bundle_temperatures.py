"""Sets of warm bundles between which a circuit of a solution loses too much."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from pathlib import Path

from allocator.model import Solution, optimise
from allocator.model.bundle_temperatures import STEPS, TooWarm, too_warm
from allocator.model.segment_contents import segment_contents
from allocator.options import LazyRows, OptionList, list_options
from allocator.options.lazy_rows import WarmBundle
from allocator.options.warmed_wires import limit_v, members_of, temperatures, warm_drops_v
from allocator.problem import Load
from allocator.reading import read_problem

VAN = Path(__file__).parents[2] / "problems" / "clinic-van"


@cache
def met() -> tuple[OptionList, Solution, tuple[TooWarm, ...]]:
    """What a first choice for the clinic van loses too much, one of its units sitting far from most of its loads."""
    problem = read_problem(VAN)
    units = tuple(replace(one, sites=("drug cabinet",)) if one.name == "rear" else one for one in problem.units)
    option_list = list_options(replace(problem, units=units), banks_joined=True, lazy=LazyRows())
    solution = optimise(option_list)
    return option_list, solution, tuple(too_warm(option_list, solution, segment_contents(option_list, solution)))


def lost_v(option_list: OptionList, solution: Solution, load: Load, bundles: Iterable[WarmBundle]) -> float:
    """What a load loses in its circuit of a solution between bundles so warm."""
    for o, _ in solution.options:
        option = option_list.options[o]
        own = [(g, x) for g, x in members_of(option.candidate.members, option_list.load_groups) if x is load]
        if own:
            return dict(warm_drops_v(option_list.problem, option.plan, own, temperatures(bundles)))[load]
    plan = next(option_list.direct[d].plan for d in solution.direct if option_list.direct[d].load is load)
    return dict(warm_drops_v(option_list.problem, plan, [(None, load)], temperatures(bundles)))[load]


def test_in_each_set_the_circuit_loses_just_too_much() -> None:
    option_list, solution, found = met()
    assert found
    for one in found:
        most = limit_v(option_list.problem, one.load)
        for bundles in one.sets:
            assert most < lost_v(option_list, solution, one.load, bundles) <= most * (1.0 + 1e-6)


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
