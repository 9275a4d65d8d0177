"""From a layout as stated to the context that every rule looks at."""

from __future__ import annotations

from dataclasses import replace

from allocator.checking.circuits import feed_circuit, feed_direct
from allocator.checking.contacts import contacted
from allocator.checking.context import Context
from allocator.checking.crowds import NO_CROWD, Crowd, column_of, counted
from allocator.checking.decisions import decided
from allocator.checking.direct import decided_direct
from allocator.checking.fittings import fitted
from allocator.checking.given import decided_given, lay_given
from allocator.checking.loading import overloaded
from allocator.checking.lookups import mounts
from allocator.layout import Layout
from allocator.problem import Bundling, Problem
from allocator.routing import Network


def prepare(problem: Problem, stated: Layout, network: Network | None = None) -> Context:
    """Complete the decisions of a layout and resolve them against the problem.

    Routes do not depend on sizes, so the wires in each segment are counted first. Where a segment is loaded more
    than its column says, it goes to the column that serves, and what is left open is completed anew. ``network``
    is that of the problem, where one is at hand: routes found once are kept in it.
    """
    network = Network(problem) if network is None else network
    crowd = NO_CROWD
    if problem.margins.bundle is not Bundling.NONE:
        layout = _decided(problem, network, NO_CROWD, stated)
        wires = counted(problem, network, layout, mounts(problem, layout.units))
        crowd = Crowd(column_of(problem, stated.bundle_loading), wires)
    while True:
        context = _completed(problem, network, crowd, stated)
        over = {} if crowd.loading is None else overloaded(context)
        if not over:
            return context
        crowd = replace(crowd, raised={**crowd.raised, **over})


def _completed(problem: Problem, network: Network, crowd: Crowd, stated: Layout) -> Context:
    layout = _decided(problem, network, crowd, stated)
    if layout.bundle_loading is None:
        layout = replace(layout, bundle_loading=crowd.loading)
    context = _resolved(problem, network, crowd, stated, layout)
    if problem.bulkheads:
        # contacts depend on what the wires carry, and what they lose on the contacts
        layout = contacted(context)
        context = _resolved(problem, network, crowd, stated, layout)
    return _resolved(problem, network, crowd, stated, replace(layout, units=fitted(context)))


def _decided(problem: Problem, network: Network, crowd: Crowd, stated: Layout) -> Layout:
    layout = decided(problem, network, crowd, stated)
    return replace(
        layout,
        direct=tuple(decided_direct(problem, network, crowd, one) for one in layout.direct),
        given=decided_given(problem, network, layout.given),
    )


def _resolved(problem: Problem, network: Network, crowd: Crowd, stated: Layout, layout: Layout) -> Context:
    mounted = mounts(problem, layout.units)
    return Context(
        problem=problem,
        network=network,
        stated=stated,
        layout=layout,
        mounted=mounted,
        circuits=tuple(feed_circuit(problem, network, crowd, mounted.get(c.unit), c) for c in layout.circuits),
        direct=tuple(feed_direct(problem, network, crowd, one) for one in layout.direct),
        given=tuple(lay_given(problem, network, crowd, run) for run in layout.given),
        crowd=crowd,
    )
