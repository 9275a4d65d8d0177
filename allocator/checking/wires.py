"""Rules on the wires of circuits: size, insulation, and current that each may carry."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from allocator.checking.report import Breach, number
from allocator.evaluation.context import Context
from allocator.evaluation.laid_conductors import Conductor, accepts, distance_mm2
from allocator.evaluation.tolerance import excess
from allocator.problem import OutputClass


def wire_size(context: Context) -> Iterator[Breach]:
    """A size is in the wire table (of a direct load: in either), in the insulation class that the route asks for."""
    for wire, conductor in context.wires():
        yield from in_table(conductor, wire.size)


def in_table(conductor: Conductor, size: str) -> Iterator[Breach]:
    """Hold a size against the table of its conductor."""
    table = conductor.table
    classes = {row.insulation_c for row in table.wires if row.size == size}
    if not classes:
        text = f"{conductor.label} is of size {size}, which table '{table.name}' does not have"
        yield Breach(conductor.label, 1, "wire", text)
    elif conductor.asked_c is not None and conductor.asked_c not in classes:
        text = f"{conductor.label}: table '{table.name}' has no {size} of {number(conductor.asked_c)} degC"
        yield Breach(conductor.label, 1, "wire", text)


def wire_shelf(context: Context) -> Iterator[Breach]:
    """A size of the wire table is on the shelf, where the problem lists what is."""
    sizes = context.problem.wire_rules.sizes
    for wire, conductor in context.wires():
        if sizes and wire.size not in sizes and conductor.table is context.problem.wires:
            text = f"{conductor.label} is of size {wire.size}, which is not on the shelf: {', '.join(sizes)}"
            yield Breach(conductor.label, 1, "wire", text)


def smallest_wire(context: Context) -> Iterator[Breach]:
    """No wire of the wire table is thinner than the smallest allowed, half a percent apart: gauges are rounded."""
    smallest = context.problem.wire_rules.smallest_mm2
    for _, conductor in context.wires():
        if conductor.row is None or conductor.table is not context.problem.wires:
            continue
        short = distance_mm2((smallest, inf), conductor.row.area_mm2)
        if not accepts((smallest, inf), conductor.row.area_mm2):
            least = number(smallest)
            text = f"{conductor.label} is {number(short)} mm2 thinner than the smallest allowed, {least} mm2"
            yield Breach(conductor.label, short, "mm2", text)


def terminal_range(context: Context) -> Iterator[Breach]:
    """An outgoing wire fits the terminal of its output."""
    for own, conductor in _at_outputs(context):
        if conductor.row is None:
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
    for wire, conductor in context.wires():
        yield from insulation(conductor, wire.insulation_c)


def insulation(conductor: Conductor, stated_c: float | None) -> Iterator[Breach]:
    """Hold the insulation class of a conductor against the one that its route asks for."""
    if conductor.route is None:
        return
    if conductor.asked_c is None:
        text = f"{conductor.label}: no insulation class of the wire table is enough for its route"
        yield Breach(conductor.label, 1, "wire", text)
    elif stated_c is not None and not abs(stated_c - conductor.asked_c) <= 1e-9:  # nor is NaN a class
        off = abs(stated_c - conductor.asked_c)
        asked, stated = number(conductor.asked_c), number(stated_c)
        text = f"{conductor.label} is of insulation class {stated} degC, but its route asks for {asked} degC"
        yield Breach(conductor.label, off, "K", text)


def wire_ampacity(context: Context) -> Iterator[Breach]:
    """A wire carries the trip or fuse it is behind; the return of a parallel group all its trips together."""
    for wire, conductor in context.wires():
        if conductor.guard_a is None or conductor.ampacity_a is None:
            continue
        over = excess(conductor.guard_a, conductor.ampacity_a)
        if over > 0.0:
            text = (
                f"{conductor.label} of {wire.size} carries {number(conductor.ampacity_a)} A{among(conductor)}, "
                f"{number(over)} A less than its {conductor.guard} of {number(conductor.guard_a)} A"
            )
            yield Breach(conductor.label, over, "A", text)


def among(conductor: Conductor) -> str:
    """Words for what a bundle takes from a conductor."""
    return "" if conductor.factor == 1.0 else f" at a bundle factor of {number(conductor.factor)}"


def _at_outputs(context: Context) -> Iterator[tuple[OutputClass, Conductor]]:
    """Outgoing wires, with the class of the outputs that they start at."""
    for fed in context.circuits:
        for _, conductor in fed.pairs("out", "trunk", "branch"):
            if fed.output_class is not None:
                yield fed.output_class, conductor
