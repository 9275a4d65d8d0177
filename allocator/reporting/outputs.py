"""Each unit, output by output: what it feeds, current, trip, wires; spare and unused outputs too."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.layout import Circuit, FittedUnit, Layout, PlacedWire
from allocator.problem import OutputClass, Problem, UnitType
from allocator.reporting.blocks import Block, Heading, Paragraph, counted, number, short
from allocator.table import Row, Table, count, figure, text

_LOAD = (text("feeds"), figure("", "A"))
_WIRE = (text("wire", whole=True), figure("", "m"))
_DROP = figure("drop", "%")
_COLUMNS = (text("pin", whole=True), text("class"), *_LOAD, figure("trip", "A", significant=10), *_WIRE, _DROP)
_DIRECT_COLUMNS = (text("source"), *_LOAD, figure("fuse", "A", significant=10), *_WIRE, _DROP)
_GIVEN_COLUMNS = (text("given"), text("route"), count("cores"), figure("A each"), *_WIRE)


def outputs(problem: Problem, layout: Layout) -> tuple[Block, ...]:
    """One heading, feed line and table per unit, in the order of the problem; then direct loads and given wires.

    Currents in A (of one output), lengths in m, drop in percent of the running voltage.
    """
    fitted = {unit.name: unit for unit in layout.units}
    blocks: list[Block] = []
    for unit in problem.units:
        if unit.name in fitted:
            blocks += _unit(problem, layout, fitted[unit.name])
        else:
            blocks.append(Heading(f"Unit {unit.name} ({unit.type}): not fitted"))
    if layout.direct:
        blocks.append(Heading("Fed and fused at the source"))
        blocks.append(Table(columns=_DIRECT_COLUMNS, rows=tuple(_direct(problem, layout))))
    if layout.given:
        blocks.append(Heading("Given wires"))
        blocks.append(Table(columns=_GIVEN_COLUMNS, rows=tuple(_given(problem, layout))))
    return tuple(blocks)


def _unit(problem: Problem, layout: Layout, fitted: FittedUnit) -> list[Block]:
    unit = problem.unit[fitted.name]
    unit_type = problem.unit_type[unit.type]
    circuits = [circuit for circuit in layout.circuits if circuit.unit == unit.name]
    feeds = {pin: circuit for circuit in circuits for pin in circuit.pins}
    states = pin_states(unit_type, fitted, feeds)
    pins = [(output, pin) for output in unit_type.outputs for pin in output.pins]
    rows = [row for output, pin in pins for row in _pin(output, pin, feeds, states)]
    count = [sum(state == word for state in states.values()) for word in ("used", "spare", "unused")]
    return [
        Heading(f"Unit {fitted.name} ({unit.type}) at {fitted.site}"),
        Paragraph(feed_line(fitted, unit.source)),
        Paragraph(f"{counted(len(states), 'output')}: {count[0]} used, {count[1]} spare, {count[2]} unused"),
        Table(columns=_COLUMNS, rows=tuple(rows)),
    ]


def feed_line(fitted: FittedUnit, source: str) -> str:
    """Source, size, length, fuse and drop of the feed, in one line."""
    feed = fitted.feed
    if feed is None:
        return f"feed from {source}: not given"
    parts = [feed.size]
    if feed.length_m is not None:
        parts.append(f"{number(feed.length_m)} m")
    if feed.fuse_a is not None:
        parts.append(f"fuse {short(feed.fuse_a)} A")
    if feed.drop_percent is not None:
        parts.append(f"drop {number(feed.drop_percent)} %")
    return f"feed from {source}: {', '.join(parts)}"


def pin_states(unit_type: UnitType, fitted: FittedUnit, feeds: dict[str, Circuit]) -> dict[str, str]:
    """'used', 'spare' or 'unused' for every pin: of the idle pins of a class, the last are the spare ones."""
    states = {pin: "used" if pin in feeds else "unused" for output in unit_type.outputs for pin in output.pins}
    for name, bank, kept in fitted.spare:
        idle = [
            pin
            for output in unit_type.outputs
            if output.name == name and bank in (None, output.bank)
            for pin in output.pins
            if states[pin] == "unused"
        ]
        states.update(dict.fromkeys(idle[max(0, len(idle) - kept) :], "spare"))
    return states


def _pin(output: OutputClass, pin: str, feeds: dict[str, Circuit], states: dict[str, str]) -> Iterator[Row]:
    circuit = feeds.get(pin)
    if circuit is None:
        yield (pin, output.name, states[pin], *[None] * 5)
        return
    place = circuit.pins.index(pin)
    first, others = _wires_of(circuit, place)
    yield (
        pin,
        output.name,
        what(circuit, place),
        _pin_current(circuit),
        circuit.trip_a,
        *_wire(first),
        circuit.drop_percent if place == 0 else None,
    )
    for wire in others:
        yield (None, None, f"  {wire_name(wire, shared=len(circuit.loads) > 1)}", None, None, *_wire(wire), None)


def what(circuit: Circuit, place: int) -> str:
    """What the output at a place of the circuit feeds, with its share in a group of outputs."""
    return f"{', '.join(circuit.loads)}{which(circuit, place)}"


def which(circuit: Circuit, place: int) -> str:
    """Which of how many outputs the one at a place of the circuit is; nothing where it is the only one."""
    count = len(circuit.pins)
    return "" if count == 1 else f" ({place + 1} of {count})"


def _pin_current(circuit: Circuit) -> float | None:
    """Amperes of one output: each of a bridge pair carries all of it, each of a parallel group its part."""
    if circuit.current_a is None or len(circuit.pins) == 1 or not _returns(circuit):
        return circuit.current_a
    return circuit.current_a / len(circuit.pins)


def _returns(circuit: Circuit) -> bool:
    return any(wire.role == "return" for wire in circuit.wires)


def _wires_of(circuit: Circuit, place: int) -> tuple[PlacedWire | None, tuple[PlacedWire, ...]]:
    """The wire at a pin, and those listed below it: at the last pin of a group all that is not at a pin.

    A layout made by hand may give one wire (role ``any``) for the whole circuit.
    """
    out = [wire for wire in circuit.wires if wire.role in ("out", "any")]
    rest = tuple(wire for wire in circuit.wires if wire.role not in ("out", "any"))
    first = out[min(place, len(out) - 1)] if out else None
    return first, rest if place == len(circuit.pins) - 1 else ()


def wire_name(wire: PlacedWire, *, shared: bool = False) -> str:
    """What a wire that is not at a pin does, for a person who looks for its ends."""
    if wire.role == "return":
        whose = f" of {', '.join(wire.loads)}" if shared and wire.loads else ""
        return f"return{whose} to {wire.end}" if wire.end else f"return{whose}"
    if wire.role == "trunk":
        return f"trunk {wire.start} to {wire.end}"
    if wire.role == "branch":
        return f"branch {wire.start} to {', '.join(wire.loads) or wire.end}"
    return wire.role


def _wire(wire: PlacedWire | None) -> Row:
    return (None, None) if wire is None else (wire.size, wire.length_m)


def _direct(problem: Problem, layout: Layout) -> Iterator[Row]:
    for direct in layout.direct:
        source = direct.source or problem.sources[0].name
        first, *others = [*direct.wires, None]
        yield (source, direct.load, direct.current_a, direct.fuse_a, *_wire(first), direct.drop_percent)
        for wire in others:
            if wire is not None:
                yield (None, f"  {wire_name(wire)}", None, None, *_wire(wire), None)


def _given(problem: Problem, layout: Layout) -> Iterator[Row]:
    currents = {wire.name: wire.current_a for wire in problem.given_wires}
    for given in layout.given:
        route = ", ".join(given.route)
        yield (given.wire, route, given.cores, currents.get(given.wire), given.size, given.length_m)
