"""Each load is fed, by one unit, together with the loads it belongs to."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.model.keys import LoadsFed, TogetherAt
from allocator.model.rows import Row, at_most, equal
from allocator.model.variables import Variables


def each_load_once(v: Variables) -> Iterator[Row]:
    """``sum_o n[o, i] x[o] = n[i]``: every load of load group *i* in exactly one chosen circuit."""
    option_list = v.option_list
    terms: list[list[tuple[int, int]]] = [[] for _ in option_list.load_groups]
    for option in option_list.options:
        for member, count in option.candidate.members:
            terms[member].append((option.index, count))
    for group, own in zip(option_list.load_groups, terms, strict=True):
        yield equal(LoadsFed(group.index), [(v.take[o], n) for o, n in own], len(group.loads))


def each_direct_load_once(v: Variables) -> Iterator[Row]:
    """``sum_d direct[i, d] = 1``: one option for every load that is fused at the source."""
    own: dict[str, list[int]] = {}
    for option in v.option_list.direct:
        own.setdefault(option.load.name, []).append(option.index)
    for number, options in enumerate(own.values()):
        yield equal(f"direct[{number}]", [(v.direct[d], 1) for d in options], 1)


def only_where_fitted(v: Variables) -> Iterator[Row]:
    """``sum_(o at s) n[o, i] x[o] <= n[i] fit[s]``: one row per group and slot, the strong form."""
    option_list = v.option_list
    for slot in option_list.slots:
        terms: dict[int, list[tuple[int, int]]] = {}
        for option in option_list.by_slot[slot.index]:
            for group, count in option.candidate.members:
                terms.setdefault(group, []).append((option.index, count))
        for group, own in sorted(terms.items()):
            most = len(option_list.load_groups[group].loads)
            yield at_most(
                f"fitted[{group},{slot.index}]",
                [*((v.take[o], n) for o, n in own), (v.fit[slot.index], -most)],
                0,
            )


def together(v: Variables) -> Iterator[Row]:
    """``sum_(o at s) n[o, i] x[o] = n[i] y[w, s]``, ``sum_s y[w, s] = 1``: loads of a together word on one unit."""
    option_list = v.option_list
    words = sorted({g.sample.together for g in option_list.load_groups if g.sample.together is not None})
    for word in words:
        groups = [g for g in option_list.load_groups if g.sample.together == word]
        for slot in option_list.slots:
            v.unit_of[word, slot.index] = v.add(f"y[{word}]{slot.index}")
        yield equal(f"together[{word}]", [(v.unit_of[word, s.index], 1) for s in option_list.slots], 1)
        for group in groups:
            own: dict[int, list[tuple[int, int]]] = {s.index: [] for s in option_list.slots}
            for option in option_list.options:
                for member, count in option.candidate.members:
                    if member == group.index:
                        own[option.slot].append((option.index, count))
            for slot_index, terms in own.items():
                yield equal(
                    TogetherAt(word, group.index, slot_index),
                    [*((v.take[o], n) for o, n in terms), (v.unit_of[word, slot_index], -len(group.loads))],
                    0,
                )
