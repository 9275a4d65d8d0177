"""A label for every piece of wire: short, of letters and figures alone, the same in every list."""

from __future__ import annotations

from allocator.layout import Circuit, DirectCircuit, FittedUnit, GivenRun


def circuit_labels(circuit: Circuit) -> tuple[str, ...]:
    """Labels of the wires of a circuit, in their order.

    An outgoing wire is called by unit and pin; all others (returns, and the pieces of a shared output) by the first pin
    and a number.
    """
    outs = [n for n, wire in enumerate(circuit.wires) if wire.role == "out"]
    at_pin = dict(zip(outs, circuit.pins, strict=False))
    first = circuit.pins[0] if circuit.pins else circuit.name
    labels, number = [], 0
    for n in range(len(circuit.wires)):
        if n not in at_pin:
            number += 1
        labels.append(f"{circuit.unit} {at_pin.get(n) or f'{first}/{number}'}")
    return tuple(labels)


def direct_labels(direct: DirectCircuit) -> tuple[str, ...]:
    """Labels of the wires of a direct load: its name for the way out, with a number for the way back."""
    return tuple(f"direct {direct.load}" + (f"/{n}" if n else "") for n in range(len(direct.wires)))


def feed_label(unit: FittedUnit) -> str:
    """Label of the feed of a unit."""
    return f"feed {unit.name}"


def given_labels(given: GivenRun) -> tuple[str, ...]:
    """Labels of the cores of a given wire."""
    if given.cores == 1:
        return (f"given {given.wire}",)
    return tuple(f"given {given.wire}/{n}" for n in range(1, given.cores + 1))
