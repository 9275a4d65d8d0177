"""From a layout as stated to the context that every rule looks at."""

from __future__ import annotations

from dataclasses import replace

from allocator.evaluation.contacts import contacted
from allocator.evaluation.context import Context
from allocator.evaluation.decisions import decided
from allocator.evaluation.direct_loads import decided_direct
from allocator.evaluation.fittings import fitted
from allocator.evaluation.given_wires import decided_given, lay_given
from allocator.evaluation.mounted_units import mounts
from allocator.evaluation.neighbours import Neighbours, side_by_side
from allocator.evaluation.resolved_circuits import feed_circuit, feed_direct
from allocator.evaluation.segment_lines import bodies_c
from allocator.layout import Layout
from allocator.problem import Problem
from allocator.routing import Network


def prepare(problem: Problem, stated: Layout, network: Network | None = None) -> Context:
    """Complete the decisions of a layout and resolve them against the problem.

    What lies side by side does not depend on sizes but for loads fused at the source, so it is counted first.
    ``network`` is that of the problem, where one is at hand: routes found once are kept in it.
    """
    network = Network(problem) if network is None else network
    alone = Neighbours(problem)
    layout = _decided(problem, network, alone, stated)
    cables = side_by_side(problem, network, layout, mounts(problem, layout.units))
    context = _completed(problem, network, Neighbours(problem, cables), stated)
    warm = bodies_c(context)
    if not warm:
        return context
    # what is left open is filled in with bundles as warm as they were; then they may be cooler
    context = _completed(problem, network, Neighbours(problem, cables, warm), stated)
    cooler = bodies_c(context)
    return context if cooler == warm else _as_warm(context, Neighbours(problem, cables, cooler))


def _as_warm(context: Context, neighbours: Neighbours) -> Context:
    """The same layout, complete as it is, between bundles of other temperatures."""
    return _resolved(context.problem, context.network, neighbours, context.stated, context.layout)


def _completed(problem: Problem, network: Network, neighbours: Neighbours, stated: Layout) -> Context:
    layout = _decided(problem, network, neighbours, stated)
    context = _resolved(problem, network, neighbours, stated, layout)
    if problem.bulkheads:
        # contacts depend on what the wires carry, and what they lose on the contacts
        layout = contacted(context)
        context = _resolved(problem, network, neighbours, stated, layout)
    return _resolved(problem, network, neighbours, stated, replace(layout, units=fitted(context)))


def _decided(problem: Problem, network: Network, neighbours: Neighbours, stated: Layout) -> Layout:
    layout = decided(problem, network, neighbours, stated)
    return replace(
        layout,
        direct=tuple(decided_direct(problem, network, neighbours, one) for one in layout.direct),
        given=decided_given(problem, network, layout.given),
    )


def _resolved(problem: Problem, network: Network, neighbours: Neighbours, stated: Layout, layout: Layout) -> Context:
    mounted = mounts(problem, layout.units)
    return Context(
        problem=problem,
        network=network,
        stated=stated,
        layout=layout,
        mounted=mounted,
        circuits=tuple(feed_circuit(problem, network, neighbours, mounted.get(c.unit), c) for c in layout.circuits),
        direct=tuple(feed_direct(problem, network, neighbours, one) for one in layout.direct),
        given=tuple(lay_given(problem, network, neighbours, run) for run in layout.given),
        neighbours=neighbours,
    )
