"""Splices: where each is, and which wires meet in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from allocator.layout import Circuit
from allocator.reporting.labels import PIECES
from allocator.reporting.lists.build import Build
from allocator.reporting.lists.listing import listing
from allocator.table import Row, Table, count, fill_in, text

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


def splices(build: Build) -> Table:
    """One row for each place where the wire of an output branches."""
    first = {piece.wire: piece.label for piece in reversed(build.pieces)}
    last = {piece.wire: piece.label for piece in build.pieces}
    pairs = zip(build.layout.circuits, build.labels.circuits, strict=True)
    rows = (row for circuit, labels in pairs for row in _circuit(circuit, labels, first, last))
    return listing("splices", "Splices", COLUMNS, rows)


def _circuit(
    circuit: Circuit, labels: tuple[str, ...], first: Mapping[str, str], last: Mapping[str, str]
) -> Iterator[Row]:
    """Wires that arrive at a splice, with their last pieces, and those that leave it, with their first."""
    at_output = {f"{circuit.unit} {pin}" for pin in circuit.pins}
    tree = [(wire, label) for wire, label in zip(circuit.wires, labels, strict=True) if wire.role in PIECES]
    for splice in circuit.splices:
        arriving = [(w, last[x]) for w, x in tree if w.role == "trunk" and w.end == splice.place]
        leaving = [(w, first[x]) for w, x in tree if w.start == splice.place and x not in at_output]
        meeting = [*arriving, *leaving]
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
