"""Chains of changes after which a load that nothing can feed has an option, found by pricing it again and again."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.advising.changed_words import free_of_unit, unpinned
from allocator.advising.changes import Change, applied
from allocator.advising.repairs import Miss, misses_of, repairs
from allocator.pricing import Alike, Pricing, price
from allocator.problem import Problem

LONGEST = 5
"""Changes in a chain: an output of a higher rating may need a trip, a terminal and a peak to go with it."""

NEAREST = 6
"""Near misses that chains begin from."""


def chains(problem: Problem, pricing: Pricing, group: Alike) -> Iterator[tuple[Change, ...]]:
    """Ways to give loads of a group an option: each a chain of changes, the nearest miss first."""
    yield from _off_the_pin(problem, group)
    seen: set[object] = set()
    for miss in misses_of(pricing, problem, group)[:NEAREST]:
        for change in repairs(miss):
            chain = _completed(problem, group, miss, (change,))
            if chain is not None and _key(chain) not in seen:
                seen.add(_key(chain))
                yield chain


def _off_the_pin(problem: Problem, group: Alike) -> Iterator[tuple[Change, ...]]:
    name = group.sample.name
    if group.sample.output is not None:
        change = unpinned(problem, name)
        if _fed(change.apply(problem), name):
            yield (change,)
            return
    if group.sample.unit is not None:
        change = free_of_unit(problem, name)
        if _fed(change.apply(problem), name):
            yield (change,)


def _key(chain: tuple[Change, ...]) -> object:
    return tuple((c.table, c.row, c.field, c.after) for c in chain)


def _fed(problem: Problem, name: str) -> bool:
    pricing, group = _priced(problem, name)
    return group not in pricing.unfed


def _priced(problem: Problem, name: str) -> tuple[Pricing, Alike]:
    """The options of one load alone. Its number among the alike loads has to be found first."""
    from allocator.pricing.circuits import alike_loads
    from allocator.pricing.slots import kinds, slots

    group = next(g for g in alike_loads(problem) if name in {load.name for load in g.loads})
    places = slots(problem, kinds(problem))
    pricing = price(problem, only={(((group.index, 1),), slot.index) for slot in places})
    return pricing, group


def _completed(problem: Problem, group: Alike, first: Miss, chain: tuple[Change, ...]) -> tuple[Change, ...] | None:
    """The chain with what else the same class refuses taken away; None where it does not come to an option."""
    name = group.sample.name
    while len(chain) <= LONGEST:
        changed = applied(problem, chain)
        pricing, own = _priced(changed, name)
        if own not in pricing.unfed:
            return chain
        again = [
            miss
            for miss in misses_of(pricing, changed, own)
            if (miss.unit_type.name, miss.output.name, miss.output.bank)
            == (first.unit_type.name, first.output.name, first.output.bank)
        ]
        following = next((c for miss in sorted(again, key=lambda m: m.refusal.distance) for c in repairs(miss)), None)
        if following is None or _key((following,))[0] in _key(chain):  # type: ignore[index, operator]
            return None
        chain = _merged((*chain, following))
    return None


def _merged(chain: tuple[Change, ...]) -> tuple[Change, ...]:
    """The chain without what a later change of the very same field makes void."""
    last = {(c.table, c.row, c.field): n for n, c in enumerate(chain)}
    return tuple(c for n, c in enumerate(chain) if last[c.table, c.row, c.field] == n)
