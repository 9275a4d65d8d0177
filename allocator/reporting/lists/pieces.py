"""The pieces that wires are cut into."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from allocator.evaluation.context import Context
from allocator.problem import Problem
from allocator.reporting.labels import Labels, piece_labels
from allocator.reporting.lists.parting import cuts_of, shares_m
from allocator.reporting.whole_wires import FEED, WholeWire, wires_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece of wire. ``wire`` is the label of the whole wire, ``number`` counts its pieces from 0.

    ``start`` and ``end`` say what it joins, ``from_pin`` and ``to_pin`` the output or contact there. ``circuit`` is the
    number of its circuit in the layout, ``given`` the name of a given wire. ``tolerance_m`` is how far its ends may
    really be from where they are taken to be.
    """

    label: str
    wire: str
    number: int
    use: str
    role: str
    start: str
    from_pin: str
    end: str
    to_pin: str
    route: tuple[str, ...]
    size: str
    insulation_c: float | None
    length_m: float
    copper_g: float
    wire_g: float
    guard_a: float | None
    current_a: float | None
    loads: tuple[str, ...]
    circuit: int | None = None
    given: str = ""
    tolerance_m: float = 0.0


def pieces_of(context: Context, labels: Labels) -> tuple[Piece, ...]:
    """Every piece of a completed layout, in its order."""
    return tuple(piece for wire in wires_of(context, labels) for piece in _cut(context.problem, wire))


def _cut(problem: Problem, wire: WholeWire) -> Iterator[Piece]:
    """A wire as one piece, or as those into which connectors part it: their lengths sum up to its length."""
    cuts = cuts_of(problem, wire.conductor, wire.contacts, stud=wire.use == FEED)
    length = wire.length_m or 0.0
    route_m = wire.conductor.route.length_m if wire.conductor is not None and wire.conductor.route is not None else 0.0
    bounds = (0.0, *(cut.at_m for cut in cuts), route_m)
    lengths = shares_m([b - a for a, b in pairwise(bounds)], length, problem.margins.tail_m, measured=wire.measured)
    tolerance = (0.0, *(cut.tolerance_m for cut in cuts), 0.0)
    ends = (wire.ends[0], *((f"bulkhead {cut.bulkhead}", cut.contact) for cut in cuts), wire.ends[1])
    stops = (0, *(cut.after for cut in cuts), len(wire.route) - 1)
    for n, label in enumerate(piece_labels(wire.label, len(lengths))):
        share = lengths[n] / length if length > 0.0 else 1.0 / len(lengths)
        yield Piece(
            label=label,
            wire=wire.label,
            number=n,
            use=wire.use,
            role=wire.role,
            start=ends[n][0],
            from_pin=ends[n][1],
            end=ends[n + 1][0],
            to_pin=ends[n + 1][1],
            route=wire.route[stops[n] + (1 if n else 0) : stops[n + 1] + 1],
            size=wire.size,
            insulation_c=wire.insulation_c,
            length_m=lengths[n],
            copper_g=share * (wire.copper_g or 0.0),
            wire_g=share * (wire.wire_g or 0.0),
            guard_a=wire.guard_a,
            current_a=None if wire.conductor is None else wire.conductor.current_a,
            loads=wire.loads,
            circuit=wire.circuit,
            given=wire.given,
            tolerance_m=tolerance[n] + tolerance[n + 1],
        )
