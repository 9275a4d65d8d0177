"""Cables that lie side by side: no more than each of them allows."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.model.keys import SideBySide
from allocator.model.laid_line import LaidLine
from allocator.model.rows import Row, at_least, at_most
from allocator.model.takers import alternatives, most_of, takers, terms_of
from allocator.model.variables import Variables
from allocator.options.workbench import with_bundle


def cables_side_by_side(v: Variables) -> Iterator[Row]:
    """``C[e] + sum_g (N - n[g]) g <= N`` per segment with lazy rows, feed of a slot, direct load and given cable.

    ``C`` counts the cables of a segment, and their bundle where wires may pass; ``n[g]`` is the most that a cable lies
    beside, itself among them, ``N`` the most there can be.
    """
    for e in v.option_list.lazy.cables:
        cables = takers(v, e, beside=True)
        if not cables:
            continue
        bundle = with_bundle(v.option_list.problem, e) - 1
        most = most_of(cables, lambda own: own.add_up(lambda _: 1.0)) + bundle
        count = v.add(f"sidebyside[{e}]", most, integer=False)
        terms, there = terms_of(cables, lambda own: own.add_up(lambda _: 1.0))
        yield at_least(f"sidebyside[{e}]", [(count, 1.0), *((x, -c) for x, c in terms)], there + bundle)
        for n, group in enumerate(alternatives(cables).values()):
            lacking = [(own, max(0.0, most - min(_beside(one) for one in own.lines))) for own in group]
            terms = [(own.variable, c) for own, c in lacking if own.variable is not None]
            there = sum(c for own, c in lacking if own.variable is None)
            if any(c for _, c in lacking):
                yield at_most(SideBySide(e, n), [(count, 1.0), *terms], most - there)


def _beside(one: LaidLine) -> float:
    return float("inf") if one.at_most is None else float(one.at_most)
