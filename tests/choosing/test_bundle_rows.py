"""Rows on bundles against the exact rule, and the exact rule of the search against that of the check.

Choices are drawn: the best ones by prices made up, as if nothing were warm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from random import Random

import pytest

from allocator.assembling import assemble
from allocator.checking.prepare import prepare
from allocator.checking.registry import RULES
from allocator.choosing import Choice, Model, build
from allocator.choosing.choose import choice_of
from allocator.choosing.excess import Rule
from allocator.choosing.families import FAMILIES
from allocator.choosing.keys import BundleHeat
from allocator.choosing.laid import laid
from allocator.choosing.passed import broken_by, passed
from allocator.choosing.rows import equal
from allocator.choosing.solver import run
from allocator.choosing.variables import variables
from allocator.pricing import Pricing, Watch, price
from allocator.problem import Bundling
from tests.engine.draws import draw_crowded

OF_BUNDLES = ("bundle_heat_rows", "as_stated", "cables_side_by_side")
SEEDS = range(40)
CHOICES = 4


def drawn_choices(pricing: Pricing, rng: Random) -> Iterator[Choice]:
    """Choices that keep every row but those on bundles, cheapest by prices made up."""
    model = build(pricing, without=OF_BUNDLES)
    for _ in range(CHOICES):
        v = model.variables
        prices = tuple((x, float(rng.randint(1, 100))) for x in (*v.take, *v.feed, *v.direct, *v.fit))
        other = replace(model, objective=prices)
        outcome = run(other)
        if outcome.values is not None:
            yield choice_of(other, outcome)


@cache
def drawn(seed: int) -> tuple[Pricing, tuple[Choice, ...]]:
    """A problem priced as if each wire lay alone, and choices of it."""
    pricing = price(draw_crowded(seed))
    return pricing, () if pricing.faults else tuple(drawn_choices(pricing, Random(seed)))


def holds(pricing: Pricing, choice: Choice, watch: Watch) -> bool:
    """Whether the rows on bundles of some watched segments allow a choice."""
    watched = replace(pricing, watch=watch)
    v = variables(watched)
    rows = [(name, row) for name in ("spread", *OF_BUNDLES) for row in FAMILIES[name](v)]
    taken = dict(choice.options)
    fixed = [(x, float(taken.get(o, 0))) for o, x in enumerate(v.take)]
    for columns, used in ((v.fit, choice.slots), (v.feed, choice.feeds), (v.direct, choice.direct)):
        fixed += [(x, float(n in used)) for n, x in enumerate(columns)]
    rows += [("fixed", equal(f"fixed {x.name}", [(x, 1.0)], value)) for x, value in fixed]
    outcome = run(Model(watched, v, tuple(rows), ()))
    assert outcome.infeasible or outcome.values is not None
    return not outcome.infeasible


@pytest.mark.parametrize("seed", SEEDS)
def test_rows_made_for_a_choice_forbid_it(seed: int) -> None:
    pricing, choices = drawn(seed)
    for choice in choices:
        watch = passed(pricing, choice)
        if watch.bundles:
            assert not holds(pricing, choice, replace(watch, cables={}))


@pytest.mark.parametrize("seed", SEEDS)
def test_no_row_forbids_what_the_exact_rule_allows(seed: int) -> None:
    """Rows made for one choice hold for every other that breaks no rule in the segments watched."""
    pricing, choices = drawn(seed)
    for one in choices:
        watch = passed(pricing, one)
        for other in choices:
            broken = {excess.segment for excess in broken_by(pricing, other) if excess.rule is not Rule.CABLES}
            if watch and not broken & set(watch.bundles):
                assert holds(pricing, other, replace(watch, cables={}))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_wire_alone_is_never_held(seed: int) -> None:
    """Rows in all segments and conditions, exact at the one wire: it is sized by its own balance."""
    pricing, choices = drawn(seed)
    if pricing.problem.margins.bundle is not Bundling.HEAT:
        return
    for choice in choices:
        alone = {e: own.squares_mm2 for e, own in laid(pricing, choice).items() if own.wires == 1 and not own.cables}
        every = tuple(range(len(pricing.problem.conditions)))
        watch = Watch({e: (at,) for e, at in alone.items()}, dict.fromkeys(alone, every), dict.fromkeys(alone, 0.0))
        assert holds(pricing, choice, watch)


def as_fused(pricing: Pricing, choice: Choice) -> Pricing:
    """Feeds behind the fuses of the layout, the least that serve; a pricing lists the largest that a cable allows."""
    layout = assemble(pricing, choice)
    fuses = dict(zip(choice.slots, (unit.feed.fuse_a for unit in layout.units if unit.feed), strict=True))
    feeds = (replace(feed, fuse_a=fuses.get(feed.slot, feed.fuse_a)) for feed in pricing.feeds)
    return replace(pricing, feeds=tuple(feeds))


@pytest.mark.parametrize("seed", SEEDS)
def test_search_and_check_hold_the_same(seed: int) -> None:
    pricing, choices = drawn(seed)
    names = [segment.name for segment in pricing.problem.segments]
    for choice in choices:
        context = prepare(pricing.problem, assemble(pricing, choice))
        found = broken_by(as_fused(pricing, choice), choice)

        def told(rule: str, context=context) -> dict[str, float]:
            return {breach.object: breach.amount for breach in RULES[rule](context)}

        def broken(rule: Rule, found=found) -> dict[str, float]:
            own = [excess for excess in found if excess.rule is rule]
            return {
                f"segment {names[e]}": max(x.over for x in own if x.segment == e) for e in {x.segment for x in own}
            }

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
        pricing, choices = drawn(seed)
        for choice in choices:
            rules = {excess.rule for excess in broken_by(pricing, choice)}
            clean += not rules
            for rule in rules:
                broken[rule] += 1
            watch = replace(pricing, watch=passed(pricing, choice))
            rows += sum(isinstance(row.key, BundleHeat) for row in FAMILIES["bundle_heat_rows"](variables(watch)))
    assert clean > 10
    assert rows > 10
    assert all(count > 0 for count in broken.values()), broken
