"""Rules on the wires of circuits: size, insulation, and current that each may carry."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.checking.conductors import Conductor, accepts, distance_mm2
from allocator.checking.context import Context, Fed
from allocator.checking.report import Breach, excess, number
from allocator.layout import PlacedWire


def wire_size(context: Context) -> Iterator[Breach]:
    """A size is in the wire table, in the insulation class that the route asks for."""
    table = context.problem.wires
    for _, wire, conductor in _wires(context):
        classes = {row.insulation_c for row in table.wires if row.size == wire.size}
        if not classes:
            text = f"{conductor.label} is of size {wire.size}, which table '{table.name}' does not have"
        elif conductor.asked_c is not None and conductor.asked_c not in classes:
            asked = number(conductor.asked_c)
            text = f"{conductor.label}: table '{table.name}' has no {wire.size} of {asked} degC"
        else:
            continue
        yield Breach(conductor.label, 1, "wire", text)


def wire_shelf(context: Context) -> Iterator[Breach]:
    """A size is on the shelf, where the problem lists what is."""
    sizes = context.problem.wire_rules.sizes
    for _, wire, conductor in _wires(context):
        if sizes and wire.size not in sizes:
            text = f"{conductor.label} is of size {wire.size}, which is not on the shelf: {', '.join(sizes)}"
            yield Breach(conductor.label, 1, "wire", text)


def smallest_wire(context: Context) -> Iterator[Breach]:
    """No wire is thinner than the smallest allowed."""
    smallest = context.problem.wire_rules.smallest_mm2
    for _, _, conductor in _wires(context):
        short = excess(smallest, conductor.row.area_mm2) if conductor.row is not None else 0.0
        if short > 0.0:
            least = number(smallest)
            text = f"{conductor.label} is {number(short)} mm2 thinner than the smallest allowed, {least} mm2"
            yield Breach(conductor.label, short, "mm2", text)


def terminal_range(context: Context) -> Iterator[Breach]:
    """An outgoing wire fits the terminal of its output."""
    for fed, wire, conductor in _wires(context):
        own = fed.output_class
        if own is None or conductor.row is None or wire.role == "return":
            continue
        area = conductor.row.area_mm2
        if not accepts(own.wire_mm2, area):
            off = distance_mm2(own.wire_mm2, area)
            low, high = own.wire_mm2
            text = (
                f"{conductor.label} of {number(area)} mm2 is {number(off)} mm2 outside what its output takes: "
                f"{number(low)} to {number(high)} mm2"
            )
            yield Breach(conductor.label, off, "mm2", text)


def wire_insulation(context: Context) -> Iterator[Breach]:
    """A wire is of the lowest insulation class that the problem and its route allow, and no other."""
    for _, wire, conductor in _wires(context):
        yield from insulation(conductor, wire.insulation_c)


def insulation(conductor: Conductor, stated_c: float | None) -> Iterator[Breach]:
    """Hold the insulation class of a conductor against the one that its route asks for."""
    if conductor.route is None:
        return
    if conductor.asked_c is None:
        text = f"{conductor.label}: no insulation class of the wire table is enough for its route"
        yield Breach(conductor.label, 1, "wire", text)
    elif stated_c is not None and abs(stated_c - conductor.asked_c) > 1e-9:
        off = abs(stated_c - conductor.asked_c)
        asked, stated = number(conductor.asked_c), number(stated_c)
        text = f"{conductor.label} is of insulation class {stated} degC, but its route asks for {asked} degC"
        yield Breach(conductor.label, off, "K", text)


def wire_ampacity(context: Context) -> Iterator[Breach]:
    """A wire carries the trip it is behind; the return of a parallel group all its trips together."""
    for fed, wire, conductor in _wires(context):
        if fed.circuit.trip_a is None or conductor.ampacity_a is None:
            continue
        trip = fed.circuit.trip_a * (fed.parallel if wire.role == "return" else 1)
        over = excess(trip, conductor.ampacity_a)
        if over > 0.0:
            text = (
                f"{conductor.label} of {wire.size} carries {number(conductor.ampacity_a)} A, "
                f"{number(over)} A less than its trip of {number(trip)} A"
            )
            yield Breach(conductor.label, over, "A", text)


def _wires(context: Context) -> Iterator[tuple[Fed, PlacedWire, Conductor]]:
    for fed in context.circuits:
        for n, conductor in fed.pairs():
            yield fed, fed.circuit.wires[n], conductor
