"""What of a layout is left in a problem that has changed since: circuits less the loads that are gone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import count

from allocator.evaluation.complete import complete
from allocator.evaluation.joints import join, splices_needed
from allocator.layout import HAND_MADE, Circuit, Contact, Layout, PlacedWire, Splice
from allocator.options import FinishedWire
from allocator.problem import Problem, Supply


def still_there(problem: Problem, layout: Layout) -> Layout:
    """The layout without the loads, units and given wires that the problem no longer has.

    A hand-made layout is completed first, as the check completes it.
    """
    fed = {load.name for load in problem.loads if load.supply is Supply.UNIT}
    direct = {load.name for load in problem.loads if load.supply is Supply.DIRECT}
    given = {wire.name for wire in problem.given_wires}
    layout = replace(
        layout,
        units=tuple(unit for unit in layout.units if unit.name in problem.unit and unit.site in problem.place),
        direct=tuple(one for one in layout.direct if one.load in direct),
        given=tuple(run for run in layout.given if run.wire in given),
        circuits=tuple(
            replace(circuit, loads=tuple(name for name in circuit.loads if name in fed))
            for circuit in layout.circuits
            if any(name in fed for name in circuit.loads)
        ),
    )
    layout = completed(problem, layout)
    sites = {unit.name: unit.site for unit in layout.units}
    splice_wires = problem.margins.splice_wires
    circuits = (_left(c, sites.get(c.unit, ""), splice_wires) for c in layout.circuits)
    return replace(layout, circuits=_named_apart(circuits, fed | direct))


def completed(problem: Problem, layout: Layout) -> Layout:
    """A hand-made layout with what it leaves out, as the check completes it; a feed that it leaves out is not built."""
    if layout.status != HAND_MADE:
        return layout
    whole = complete(problem, layout)
    unsaid = {unit.name for unit in layout.units if unit.feed is None}
    return replace(
        whole, units=tuple(replace(unit, feed=None) if unit.name in unsaid else unit for unit in whole.units)
    )


def _named_apart(circuits: Iterable[Circuit], loads: set[str]) -> tuple[Circuit, ...]:
    """Circuits with unique names, none of them that of a load it does not feed."""
    found: dict[str, Circuit] = {}
    for circuit in circuits:
        own = circuit.name not in loads or circuit.name in circuit.loads
        stem = circuit.name if own else " + ".join(circuit.loads)
        names = (stem if n == 1 else f"{stem} ({n})" for n in count(1))
        name = next(name for name in names if name not in found)
        found[name] = replace(circuit, name=name)
    return tuple(found.values())


def _left(circuit: Circuit, site: str, splice_wires: int) -> Circuit:
    """A circuit without the wires that fed only what is gone; a joint of two wires is no splice."""
    wires = [replace(wire, loads=tuple(x for x in wire.loads if x in circuit.loads)) for wire in circuit.wires]
    left = tuple(wire for wire in wires if wire.loads)
    if len(left) == len(circuit.wires):
        return replace(circuit, wires=left)
    meeting = join(left, site, circuit.loads).meeting
    splices = tuple(
        Splice(place=place, count=splices_needed(n, splice_wires))
        for place, n in meeting
        if splices_needed(n, splice_wires)
    )
    return replace(circuit, wires=left, splices=splices)


def finished_wire(wire: PlacedWire) -> FinishedWire:
    """A wire of a layout as the options know it."""
    return FinishedWire(wire.route, wire.size, wire.insulation_c, wire.length_m, sets_of(wire.contacts))


def sets_of(contacts: tuple[Contact, ...]) -> tuple[int, ...]:
    """Numbers of the contact sets, in the order of the crossings."""
    return tuple(contact.set for contact in contacts)


def finished_returns(layout: Layout) -> dict[str, FinishedWire]:
    """Finished return wires of the loads that units feed."""
    return {
        wire.loads[0]: finished_wire(wire)
        for circuit in layout.circuits
        for wire in circuit.wires
        if wire.role == "return" and len(wire.loads) == 1
    }
