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
from allocator.routing import Network, network_of


def prepare(problem: Problem, stated: Layout) -> Context:
    """Complete the decisions of a layout and resolve them against the problem.

    What lies side by side does not depend on sizes but for loads fused at the source, so it is counted first.
    """
    network = network_of(problem)
    layout = _decided(problem, network, Neighbours(problem), stated)
    cables = side_by_side(problem, network, layout, mounts(problem, layout.units))
    context = _completed(problem, network, Neighbours(problem, cables), stated)
    warm = bodies_c(context)
    if not warm:
        return context
    if context.layout == stated:
        # nothing was left open, so warm bundles have nothing to decide
        return _as_warm(context, Neighbours(problem, cables, warm))
    # what is left open is filled in with bundles as warm as they were; then they may be cooler
    context = _completed(problem, network, Neighbours(problem, cables, warm), stated)
    cooler = bodies_c(context)
    return context if cooler == warm else _as_warm(context, Neighbours(problem, cables, cooler))


def of_completed(context: Context, layout: Layout) -> Context:
    """The context of a layout that has been completed and measured by way of another context, as it is stated now.

    The same as `prepare` gives, but nothing is decided again.
    """
    problem, network = context.problem, context.network
    cables = side_by_side(problem, network, layout, mounts(problem, layout.units))
    own = _resolved(problem, network, replace(context.neighbours, cables=cables), layout, layout)
    warm = bodies_c(own)
    return own if warm == own.neighbours.bodies_c else _as_warm(own, Neighbours(problem, cables, warm))


def _as_warm(context: Context, neighbours: Neighbours) -> Context:
    """The same layout, complete as it is, between bundles of other temperatures."""
    return _resolved(context.problem, context.network, neighbours, context.stated, context.layout)


def _completed(problem: Problem, network: Network, neighbours: Neighbours, stated: Layout) -> Context:
    context = _resolved(problem, network, neighbours, stated, _decided(problem, network, neighbours, stated))
    if problem.bulkheads:
        # contacts depend on what the wires carry, and what they lose on the contacts
        context = _with(context, contacted(context))
    return _with(context, replace(context.layout, units=fitted(context)))


def _with(context: Context, layout: Layout) -> Context:
    """The context with more of its layout decided; the same where that had been decided before."""
    if layout == context.layout:
        return context
    return _resolved(context.problem, context.network, context.neighbours, context.stated, layout)


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
