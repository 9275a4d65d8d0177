"""From a layout as stated to the context that every rule looks at."""

from __future__ import annotations

from dataclasses import replace

from allocator.checking.circuits import feed_circuit
from allocator.checking.contacts import contacted
from allocator.checking.context import Context
from allocator.checking.decisions import decided, mounts
from allocator.checking.fittings import fitted
from allocator.layout import Layout
from allocator.problem import Problem
from allocator.routing import Network


def prepare(problem: Problem, stated: Layout) -> Context:
    """Complete the decisions of a layout and resolve them against the problem."""
    network = Network(problem)
    layout = decided(problem, network, stated)
    context = _resolved(problem, network, stated, layout)
    if problem.bulkheads:
        # contacts depend on what the wires carry, and what they lose on the contacts
        layout = contacted(problem, layout, context.circuits)
        context = _resolved(problem, network, stated, layout)
    return _resolved(problem, network, stated, replace(layout, units=fitted(context)))


def _resolved(problem: Problem, network: Network, stated: Layout, layout: Layout) -> Context:
    mounted = mounts(problem, layout.units)
    circuits = tuple(feed_circuit(problem, network, mounted.get(c.unit), c) for c in layout.circuits)
    return Context(problem=problem, network=network, stated=stated, layout=layout, mounted=mounted, circuits=circuits)
