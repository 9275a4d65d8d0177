"""Contacts and studs of bulkheads."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.model.constraints.outputs import unions
from allocator.model.keys import Contacts, Studs
from allocator.model.rows import Row, at_most
from allocator.model.variables import Variables


def enough_contacts(v: Variables) -> Iterator[Row]:
    """``sum_o (crossings of o whose accepted sets lie in U) x[o] <= contacts in U`` per bulkhead and union *U*.

    Direct loads count alike; cores of given wires are taken off the right-hand side.
    """
    takers = [(v.take[o.index], o.crossings) for o in v.option_list.options]
    takers += [(v.direct[d.index], d.plan.crossings) for d in v.option_list.direct]
    for bulkhead in v.option_list.problem.bulkheads:
        crossing = [(x, [c.accepted for c in all_ if c.bulkhead == bulkhead.name]) for x, all_ in takers]
        crossing = [(x, accepted) for x, accepted in crossing if accepted]
        given = [c.accepted for core in v.option_list.given for c in core.crossings if c.bulkhead == bulkhead.name]
        for union in unions({a for _, accepted in crossing for a in accepted} | set(given)):
            terms = [(x, float(sum(1 for a in accepted if a <= union))) for x, accepted in crossing]
            supply = sum(bulkhead.contacts[n].count for n in union) - sum(1 for a in given if a <= union)
            yield at_most(Contacts(bulkhead.name, tuple(sorted(union))), terms, supply)


def enough_studs(v: Variables) -> Iterator[Row]:
    """``sum_(s, g) (crossings of g) feed[s, g] <= studs`` per bulkhead."""
    for bulkhead in v.option_list.problem.bulkheads:
        terms = [
            (v.feed[f.index], float(f.route.bulkheads.count(bulkhead.name)))
            for f in v.option_list.feeds
            if bulkhead.name in f.route.bulkheads
        ]
        if terms:
            yield at_most(Studs(bulkhead.name), terms, bulkhead.studs)
