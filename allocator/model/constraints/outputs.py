"""Outputs counted by class: Hall rows, and what stays spare."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from allocator.model.keys import Outputs, SpareLacking, SpareShared
from allocator.model.rows import Row, at_most, equal
from allocator.model.variables import Variables, spare_classes
from allocator.options import Option


def enough_outputs(v: Variables) -> Iterator[Row]:
    """``sum_(accepted in U) x[o] + sum_(q in U) k[o, q] x[o] <= n[U] fit[s] - spare[s, U]`` for unions *U*.

    *U* runs over the unions of overlapping accepted sets of the slot (disjoint ones add nothing). An option on
    several outputs names its class and is counted there. Together the rows say exactly that a pinning exists
    (P. Hall 1935).
    """
    for slot in v.option_list.slots:
        options = v.option_list.by_slot[slot.index]
        most_loads = sum(len(group.loads) for group in v.option_list.load_groups)
        for union in unions(accepted_sets(options)):
            terms = [(v.take[o.index], outputs_within(o, union)) for o in options if outputs_within(o, union)]
            supply = sum(len(slot.classes[q].pins) for q in union)
            kept = [(variable, n) for q in sorted(union) for variable, n in v.spare_terms(slot, q)]
            if not kept and most_loads <= supply and all(n == 1 for _, n in terms):
                continue
            yield at_most(
                Outputs(slot.index, tuple(sorted(union))),
                [*terms, (v.fit[slot.index], -supply), *kept],
                0,
            )


def accepted_sets(options: Iterable[Option]) -> set[frozenset[int]]:
    """Sets of classes that options accept; each class that an option on several outputs takes from stands alone."""
    found: set[frozenset[int]] = set()
    for option in options:
        found |= {frozenset({q}) for q, _ in option.takes} if option.takes else {option.classes}
    return found


def unions(sets: Iterable[frozenset[int]]) -> list[frozenset[int]]:
    """The sets, and every union that can be reached by joining sets that overlap; in a fixed order."""
    base = sorted(set(sets), key=sorted)
    found = set(base)
    waiting = list(base)
    while waiting:
        current = waiting.pop()
        for other in base:
            joined = current | other
            if current & other and joined not in found:
                found.add(joined)
                waiting.append(joined)
    return sorted(found, key=lambda s: (len(s), sorted(s)))


def outputs_within(option: Option, union: frozenset[int]) -> int:
    """Outputs that an option must take from a union of classes."""
    if option.takes:
        return sum(n for q, n in option.takes if q in union)
    return 1 if option.classes <= union else 0


def spare_outputs(v: Variables) -> Iterator[Row]:
    """``sum_(q of the class name) spare[s, q] = asked fit[s]``, where more than one class may hold the spares.

    ``fit[s] <= 0`` where fewer than ``asked`` outputs of the class name are not pinned: there may be no option left
    that takes such outputs, and so no other row.
    """
    for slot in v.option_list.slots:
        for name, asked in slot.unit.spare:
            classes = spare_classes(slot, name)
            if sum(len(slot.classes[q].pins) for q in classes) < asked:
                yield at_most(SpareLacking(slot.index, name), [(v.fit[slot.index], 1.0)], 0)
            elif len(classes) > 1:
                terms = [(v.spare[slot.index, q], 1.0) for q in classes]
                yield equal(SpareShared(slot.index, name), [*terms, (v.fit[slot.index], -asked)], 0)
