"""Chains of changes after which a load that nothing can feed has an option, found by listing its options anew."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.changes.change import ProblemChange, applied
from allocator.changes.of_loads import free_of_unit, unpinned
from allocator.infeasibility.repairs import Miss, misses_of, repairs
from allocator.options import LoadGroup, OptionList, list_options
from allocator.problem import Problem

LONGEST = 5
"""Changes in a chain: an output of a higher rating may need a trip, a terminal and a peak to go with it."""

NEAREST = 6
"""Near misses that chains begin from."""


def chains(problem: Problem, option_list: OptionList, group: LoadGroup) -> Iterator[tuple[ProblemChange, ...]]:
    """Ways to give loads of a group an option: each a chain of changes, the nearest miss first."""
    yield from _off_the_pin(problem, group)
    seen: set[object] = set()
    for miss in misses_of(option_list, problem, group)[:NEAREST]:
        for change in repairs(miss):
            chain = _completed(problem, group, miss, (change,))
            if chain is not None and _key(chain) not in seen:
                seen.add(_key(chain))
                yield chain


def _off_the_pin(problem: Problem, group: LoadGroup) -> Iterator[tuple[ProblemChange, ...]]:
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


def _key(chain: tuple[ProblemChange, ...]) -> object:
    return tuple((c.table, c.row, c.field, c.after) for c in chain)


def _fed(problem: Problem, name: str) -> bool:
    option_list, group = _listed(problem, name)
    return group not in option_list.unfed


def _listed(problem: Problem, name: str) -> tuple[OptionList, LoadGroup]:
    """The options of one load alone. The number of its load group has to be found first."""
    from allocator.options.load_groups import load_groups_of
    from allocator.options.slots import slots, unit_groups_of

    group = next(g for g in load_groups_of(problem) if name in {load.name for load in g.loads})
    places = slots(problem, unit_groups_of(problem))
    option_list = list_options(problem, only={(((group.index, 1),), slot.index) for slot in places})
    return option_list, group


def _completed(
    problem: Problem, group: LoadGroup, first: Miss, chain: tuple[ProblemChange, ...]
) -> tuple[ProblemChange, ...] | None:
    """The chain with what else the same class refuses taken away; None where it does not come to an option."""
    name = group.sample.name
    while len(chain) <= LONGEST:
        changed = applied(problem, chain)
        option_list, own = _listed(changed, name)
        if own not in option_list.unfed:
            return chain
        again = [
            miss
            for miss in misses_of(option_list, changed, own)
            if (miss.unit_type.name, miss.output.name, miss.output.bank)
            == (first.unit_type.name, first.output.name, first.output.bank)
        ]
        following = next((c for miss in sorted(again, key=lambda m: m.refusal.distance) for c in repairs(miss)), None)
        if following is None or _key((following,))[0] in _key(chain):  # type: ignore[index, operator]
            return None
        chain = _merged((*chain, following))
    return None


def _merged(chain: tuple[ProblemChange, ...]) -> tuple[ProblemChange, ...]:
    """The chain without what a later change of the very same field makes void."""
    last = {(c.table, c.row, c.field): n for n, c in enumerate(chain)}
    return tuple(c for n, c in enumerate(chain) if last[c.table, c.row, c.field] == n)
