"""What a circuit loses over the contacts that its wires were given.

An option is reckoned over the worst contact that it would accept; the one dealt to it may be better.
"""

from __future__ import annotations

from collections.abc import Sequence

from allocator.assembly.shared_wires import each_wire
from allocator.layout import PlacedWire
from allocator.options import ConductorOption, WiringPlan
from allocator.problem import Problem
from allocator.wiring import SPLICE_OHM


def drop_percent(problem: Problem, plan: WiringPlan, wires: Sequence[PlacedWire], *, bridge: bool = False) -> float:
    """Drop of the worst load of a circuit, as percent of the running voltage.

    Parameters
    ----------
    problem
        The problem that the circuit is of.
    plan
        How the circuit is wired.
    wires
        The wires of the plan one by one, in its order, with their contacts and loads.
    bridge
        Whether the circuit is a bridge pair: its two wires are in series.
    """
    lost = [_wire_v(problem, c, wire) for c, wire in zip(each_wire(plan.conductors), wires, strict=True)]
    names = {name for wire in wires for name in wire.loads}
    worst = max(_load_v(plan, wires, lost, name, bridge) for name in sorted(names))
    return round(100.0 * worst / problem.running_v, 3)


def _wire_v(problem: Problem, conductor: ConductorOption, wire: PlacedWire) -> float:
    """Volts lost in one wire: as listed, less what its own contacts are better than the worst accepted."""
    better = 0.0
    for crossing, contact in zip(conductor.crossings, wire.contacts, strict=True):
        sets = problem.bulkhead[crossing.bulkhead].contacts
        better += max(sets[n].resistance_ohm for n in crossing.accepted) - sets[contact.set].resistance_ohm
    return conductor.drop_v - conductor.current_a * better


def _load_v(plan: WiringPlan, wires: Sequence[PlacedWire], lost: Sequence[float], name: str, bridge: bool) -> float:
    """Volts lost on the way of one load: out (of parallel wires the worst, of a bridge both), splices, back."""
    each = zip(wires, each_wire(plan.conductors), lost, strict=True)
    own = [(wire, conductor, volts) for wire, conductor, volts in each if name in wire.loads]
    out = [volts for wire, _, volts in own if wire.role == "out"]
    splices = dict(plan.splices)
    total = sum(out) if bridge else max(out, default=0.0)
    for wire, conductor, volts in own:
        if wire.role != "out":
            total += volts
        if wire.role == "trunk":
            total += splices.get(wire.end, 0) * SPLICE_OHM * conductor.current_a
    return total
