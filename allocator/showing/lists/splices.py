"""Splices: where each is, and which wires meet in it."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.layout import Circuit
from allocator.showing.labels import PIECES
from allocator.showing.lists.build import Build
from allocator.showing.lists.table import Listing, Row, count, fill_in, listing, text

COLUMNS = (
    text("unit"),
    text("pin"),
    text("at"),
    count("splices"),
    count("wires"),
    text("size"),
    text("labels"),
    text("loads"),
    fill_in("done"),
)


def splices(build: Build) -> Listing:
    """One row for each place where the wire of an output branches."""
    pairs = zip(build.layout.circuits, build.labels.circuits, strict=True)
    rows = (row for circuit, labels in pairs for row in _circuit(circuit, labels))
    return listing("splices", "Splices", COLUMNS, rows)


def _circuit(circuit: Circuit, labels: tuple[str, ...]) -> Iterator[Row]:
    at_output = {f"{circuit.unit} {pin}" for pin in circuit.pins}
    for splice in circuit.splices:
        meeting = [
            (wire, label)
            for wire, label in zip(circuit.wires, labels, strict=True)
            if wire.role in PIECES
            and (
                (wire.role == "trunk" and wire.end == splice.place)
                or (wire.start == splice.place and label not in at_output)
            )
        ]
        yield (
            circuit.unit,
            "; ".join(circuit.pins),
            splice.place,
            splice.count,
            len(meeting),
            "; ".join(dict.fromkeys(wire.size for wire, _ in meeting)),
            "; ".join(label for _, label in meeting),
            "; ".join(circuit.loads),
            None,
        )
