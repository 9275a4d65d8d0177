"""Direct loads that a layout made by hand leaves open, filled in."""

from __future__ import annotations

from dataclasses import replace

from allocator.evaluation.decisions import joined
from allocator.evaluation.laid_conductors import on_shelf
from allocator.evaluation.least_fuses import direct_fuse
from allocator.evaluation.neighbours import Neighbours
from allocator.evaluation.resolved_circuits import direct_without_wires, drops_v, feed_direct
from allocator.evaluation.tolerance import excess
from allocator.layout import DirectCircuit, PlacedWire
from allocator.problem import Load, Problem
from allocator.routing import Network


def decided_direct(problem: Problem, network: Network, neighbours: Neighbours, circuit: DirectCircuit) -> DirectCircuit:
    """A direct load with its source, fuse and both wires; in the lightest size that serves where it names none.

    Parameters
    ----------
    problem
        The problem.
    network
        Its route network.
    neighbours
        What a line finds in each segment: cables beside it, and warm bundles.
    circuit
        The direct load as the layout has it.
    """
    load = problem.load.get(circuit.load)
    circuit = replace(circuit, source=circuit.source or problem.sources[0].name)
    if load is None or circuit.source not in problem.source:
        return circuit
    if circuit.fuse_a is None:
        circuit = replace(circuit, fuse_a=direct_fuse(problem, load))
    if circuit.wires and circuit.wires[0].role != "any":
        return _with_return(problem, network, circuit, load)
    size = circuit.wires[0].size if circuit.wires else _lightest(problem, network, neighbours, circuit, load)
    return circuit if size is None else _in_one_size(problem, network, circuit, load, size)


def drop_limit_v(problem: Problem, load: Load) -> float:
    """What a load may lose on its wires: its own ``max_drop``, or else ``branch_drop``."""
    return (problem.margins.branch_drop if load.max_drop is None else load.max_drop) * problem.running_v


def _in_one_size(problem: Problem, network: Network, circuit: DirectCircuit, load: Load, size: str) -> DirectCircuit:
    out = PlacedWire(role="out", size=size, loads=(load.name,))
    return _with_return(problem, network, replace(circuit, wires=(out,)), load)


def _with_return(problem: Problem, network: Network, circuit: DirectCircuit, load: Load) -> DirectCircuit:
    """Its wires with their ends, routes and insulation; a return that is not listed is of the first wire's size."""
    wires = tuple(wire if wire.loads else replace(wire, loads=(load.name,)) for wire in circuit.wires)
    if all(wire.role == "out" for wire in wires):
        wires = (*wires, PlacedWire(role="return", size=wires[0].size, loads=(load.name,)))
    direct = direct_without_wires(problem, circuit)
    return replace(circuit, wires=tuple(joined(problem, network, direct, wire) for wire in wires))


def _lightest(
    problem: Problem, network: Network, neighbours: Neighbours, circuit: DirectCircuit, load: Load
) -> str | None:
    """The lightest size of both tables that serves out and back along the shortest routes."""
    rows = [row for row in problem.wires.wires if on_shelf(problem, row)] + list(problem.feed_wires.wires)
    for size in dict.fromkeys(row.size for row in sorted(rows, key=lambda row: row.area_mm2)):
        direct = feed_direct(problem, network, neighbours, _in_one_size(problem, network, circuit, load, size))
        bears = (excess(one.guard_a or 0.0, one.ampacity_a or 0.0) == 0.0 for one in direct.conductors)
        drop = drops_v(direct, problem.margins.splice_wires)[load.name]
        if all(bears) and drop is not None and excess(drop, drop_limit_v(problem, load)) == 0.0:
            return size
    return None
