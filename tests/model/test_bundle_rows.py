"""Rows on bundles against the exact rule, and the exact rule of the search against that of the check.

Solutions are drawn: the best ones by prices made up, as if nothing were warm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from random import Random

import pytest

from allocator.assembly import assemble
from allocator.checking.registry import RULES
from allocator.evaluation.prepare import prepare
from allocator.model import Model, Solution, build
from allocator.model.bundle_excess import Rule
from allocator.model.constraints import CONSTRAINTS
from allocator.model.keys import BundleHeat
from allocator.model.optimise import solution_of
from allocator.model.rows import equal
from allocator.model.segment_contents import segment_contents
from allocator.model.separation import broken_by, separate
from allocator.model.solver import run
from allocator.model.variables import variables
from allocator.options import LazyRows, OptionList, list_options
from allocator.problem import Bundling
from tests.engine.draws import draw_crowded

OF_BUNDLES = ("bundle_heat_rows", "as_stated", "cables_side_by_side")
SEEDS = range(40)
CHOICES = 4


def drawn_choices(option_list: OptionList, rng: Random) -> Iterator[Solution]:
    """Solutions that keep every row but those on bundles, cheapest by prices made up."""
    model = build(option_list, without=OF_BUNDLES)
    for _ in range(CHOICES):
        v = model.variables
        prices = tuple((x, float(rng.randint(1, 100))) for x in (*v.take, *v.feed, *v.direct, *v.fit))
        other = replace(model, objective=prices)
        outcome = run(other)
        if outcome.values is not None:
            yield solution_of(other, outcome)


@cache
def drawn(seed: int) -> tuple[OptionList, tuple[Solution, ...]]:
    """The options of a problem without bundle derating, and solutions over them."""
    option_list = list_options(draw_crowded(seed))
    return option_list, () if option_list.faults else tuple(drawn_choices(option_list, Random(seed)))


def holds(option_list: OptionList, solution: Solution, lazy: LazyRows) -> bool:
    """Whether lazy rows on bundles allow a solution."""
    lazy_segments = replace(option_list, lazy=lazy)
    v = variables(lazy_segments)
    rows = [(name, row) for name in ("spread", *OF_BUNDLES) for row in CONSTRAINTS[name](v)]
    taken = dict(solution.options)
    fixed = [(x, float(taken.get(o, 0))) for o, x in enumerate(v.take)]
    for columns, used in ((v.fit, solution.slots), (v.feed, solution.feeds), (v.direct, solution.direct)):
        fixed += [(x, float(n in used)) for n, x in enumerate(columns)]
    rows += [("fixed", equal(f"fixed {x.name}", [(x, 1.0)], value)) for x, value in fixed]
    outcome = run(Model(lazy_segments, v, tuple(rows), ()))
    assert outcome.infeasible or outcome.values is not None
    return not outcome.infeasible


@pytest.mark.parametrize("seed", SEEDS)
def test_rows_made_for_a_choice_forbid_it(seed: int) -> None:
    option_list, choices = drawn(seed)
    for solution in choices:
        lazy = separate(option_list, solution)
        if lazy.bundles:
            assert not holds(option_list, solution, replace(lazy, cables={}))


@pytest.mark.parametrize("seed", SEEDS)
def test_no_row_forbids_what_the_exact_rule_allows(seed: int) -> None:
    """Rows made for one solution hold for every other that breaks no rule in their segments."""
    option_list, choices = drawn(seed)
    for one in choices:
        lazy = separate(option_list, one)
        for other in choices:
            broken = {excess.segment for excess in broken_by(option_list, other) if excess.rule is not Rule.CABLES}
            if lazy and not broken & set(lazy.bundles):
                assert holds(option_list, other, replace(lazy, cables={}))


def test_rows_that_are_exact_near_by_are_not_made_again() -> None:
    """The squares of a bundle that is too warm are always among the steps, shares of them only where none is near."""
    some, more = 0, 0
    for seed in SEEDS:
        option_list, choices = drawn(seed)
        for one in choices:
            first = separate(option_list, one).bundles
            again = separate(replace(option_list, lazy=LazyRows(first)), one).bundles
            assert all(len(steps) in (0, 3) for steps in first.values())
            assert again == {e: steps[-1:] for e, steps in first.items()}
            some += any(first.values())
            away = {e: tuple(1.5 * step for step in steps) for e, steps in first.items()}
            more += separate(replace(option_list, lazy=LazyRows(away)), one).bundles != again
    assert min(some, more) >= 10


@pytest.mark.parametrize("seed", SEEDS)
def test_a_wire_alone_is_never_held(seed: int) -> None:
    """Rows in all segments and conditions, exact at the one wire: it is sized by its own balance."""
    option_list, choices = drawn(seed)
    if option_list.problem.margins.bundle is not Bundling.HEAT:
        return
    for solution in choices:
        alone = {
            e: own.squares_mm2
            for e, own in segment_contents(option_list, solution).items()
            if own.wires == 1 and not own.cables
        }
        every = tuple(range(len(option_list.problem.conditions)))
        lazy = LazyRows({e: (at,) for e, at in alone.items()}, dict.fromkeys(alone, every), dict.fromkeys(alone, 0.0))
        assert holds(option_list, solution, lazy)


def as_fused(option_list: OptionList, solution: Solution) -> OptionList:
    """Feeds behind the fuses of the layout, the least that serve; the options have the largest that a cable allows."""
    layout = assemble(option_list, solution)
    fuses = dict(zip(solution.slots, (unit.feed.fuse_a for unit in layout.units if unit.feed), strict=True))
    feeds = (replace(feed, fuse_a=fuses.get(feed.slot, feed.fuse_a)) for feed in option_list.feeds)
    return replace(option_list, feeds=tuple(feeds))


@pytest.mark.parametrize("seed", SEEDS)
def test_search_and_check_hold_the_same(seed: int) -> None:
    option_list, choices = drawn(seed)
    names = [segment.name for segment in option_list.problem.segments]
    for solution in choices:
        context = prepare(option_list.problem, assemble(option_list, solution))
        found = broken_by(as_fused(option_list, solution), solution)

        def told(rule: str, context=context) -> dict[str, float]:
            return {breach.object: breach.amount for breach in RULES[rule](context)}

        def broken(rule: Rule, found=found) -> dict[str, float]:
            own = [excess for excess in found if excess.rule is rule]
            return {f"segment {names[e]}": max(x.over for x in own if x.segment == e) for e in {x.segment for x in own}}

        heat = told("bundle heat")
        assert heat.keys() == broken(Rule.HEAT).keys()
        assert told("stated wires") == broken(Rule.WIRES)
        assert told("stated loading").keys() == broken(Rule.LOADING).keys()
        assert bool(told("wire beside cable")) == bool(broken(Rule.BESIDE_CABLE))
        carried = {name for rule in ("feed ampacity", "wire ampacity", "given ampacity") for name in told(rule)}
        assert bool(carried) == bool(broken(Rule.CABLES))


def test_drawn_choices_break_every_rule_and_keep_it() -> None:
    """Else the tests above would hold nothing."""
    broken: dict[Rule, int] = dict.fromkeys(Rule, 0)
    clean = rows = 0
    for seed in SEEDS:
        option_list, choices = drawn(seed)
        for solution in choices:
            rules = {excess.rule for excess in broken_by(option_list, solution)}
            clean += not rules
            for rule in rules:
                broken[rule] += 1
            lazy = replace(option_list, lazy=separate(option_list, solution))
            rows += sum(isinstance(row.key, BundleHeat) for row in CONSTRAINTS["bundle_heat_rows"](variables(lazy)))
    assert clean > 10
    assert rows > 10
    assert all(count > 0 for count in broken.values()), broken
