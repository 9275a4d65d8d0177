"""A label for every piece of wire, the same in every list and in every revision in which the wire stays.

A label says what stays with a wire as long as it lies: the output, load, unit or name that it belongs to. It never
counts wires of the layout, so that one more or one less renames no other.

==============================  ======================  =====================
wire                            label                   example
==============================  ======================  =====================
at an output                    unit, pin               ``front H1``
to the next splice of a tree    unit, pin, its place    ``front S2 splice sill``
from a splice to a load         unit, pin, the load     ``front S2 door lamp``
return                          the load                ``door lamp return``
out to a load fused at source   the load                ``direct door lamp``
feed                            the unit                ``feed front``
given wire; one of its cores    its name; and a number  ``given mast pair/2``
==============================  ======================  =====================

Where a connector parts a wire, its pieces have ``/a``, ``/b`` ... behind the label, counted from its start.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from itertools import chain
from string import ascii_lowercase

from allocator.layout import Circuit, DirectCircuit, FittedUnit, GivenRun, Layout, PlacedWire

RETURN = "return"
PIECES = ("trunk", "branch")


@dataclass(frozen=True, slots=True, kw_only=True)
class Labels:
    """Labels of all wires: of each circuit, direct load and given wire in the order of the layout; of feeds by unit.

    A unit without a feed has none.
    """

    circuits: tuple[tuple[str, ...], ...]
    direct: tuple[tuple[str, ...], ...]
    feeds: dict[str, str]
    given: tuple[tuple[str, ...], ...]

    @property
    def every(self) -> tuple[str, ...]:
        """Circuits, direct loads, feeds, cores of given wires."""
        circuits, direct, given = (tuple(chain(*own)) for own in (self.circuits, self.direct, self.given))
        return (*circuits, *direct, *self.feeds.values(), *given)


def labels_of(layout: Layout) -> Labels:
    """Labels with none twice: what a layout by hand names twice gets ``/2``, ``/3`` ... in its order."""
    once = _Once()
    sites = {unit.name: unit.site for unit in layout.units}
    return Labels(
        circuits=tuple(once(circuit_labels(circuit, sites.get(circuit.unit, ""))) for circuit in layout.circuits),
        direct=tuple(once(direct_labels(direct)) for direct in layout.direct),
        feeds={unit.name: once((feed_label(unit),))[0] for unit in layout.units if unit.feed is not None},
        given=tuple(once(given_labels(given)) for given in layout.given),
    )


def circuit_labels(circuit: Circuit, site: str = "") -> tuple[str, ...]:
    """Labels of the wires of a circuit, in their order; ``site`` is the place of its unit."""
    outs = [n for n, wire in enumerate(circuit.wires) if wire.role == "out"]
    at_pin = dict(zip(outs, circuit.pins, strict=False))
    first = f"{circuit.unit} {circuit.pins[0]}" if circuit.pins else circuit.name
    root = _at_the_output(circuit, site)
    return tuple(
        f"{circuit.unit} {at_pin[n]}" if n in at_pin else first if n == root else _named(wire, first, circuit.loads)
        for n, wire in enumerate(circuit.wires)
    )


def _at_the_output(circuit: Circuit, site: str) -> int | None:
    """The piece of a tree that starts at the output: where the site is a splice place, the one that stays there."""
    starting = [n for n, wire in enumerate(circuit.wires) if wire.role in PIECES and wire.start == site]
    staying = [n for n in starting if circuit.wires[n].role == "trunk" and circuit.wires[n].end == site]
    return next(iter((*staying, *starting)), None)


def _named(wire: PlacedWire, first: str, loads: tuple[str, ...]) -> str:
    whose = " + ".join(wire.loads or loads)
    if wire.role == RETURN:
        return f"{whose} {RETURN}"
    if wire.role == "trunk":
        return f"{first} splice {wire.end}"
    return f"{first} {whose}" if wire.role == "branch" else first


def direct_labels(direct: DirectCircuit) -> tuple[str, ...]:
    """Labels of the wires of a load fused at its source."""
    back, out = f"{direct.load} {RETURN}", f"direct {direct.load}"
    return tuple(back if wire.role == RETURN else out for wire in direct.wires)


def feed_label(unit: FittedUnit) -> str:
    """Label of the feed of a unit."""
    return f"feed {unit.name}"


def given_labels(given: GivenRun) -> tuple[str, ...]:
    """Labels of the cores of a given wire."""
    if given.cores == 1:
        return (f"given {given.wire}",)
    return tuple(f"given {given.wire}/{n}" for n in range(1, given.cores + 1))


def piece_labels(label: str, count: int) -> tuple[str, ...]:
    """Labels of the pieces into which connectors part a wire, from its start."""
    if count == 1:
        return (label,)
    return tuple(f"{label}/{_letters(n)}" for n in range(count))


def _letters(n: int) -> str:
    """a, b ... z, aa, ab ..."""
    more, n = divmod(n, len(ascii_lowercase))
    return (_letters(more - 1) if more else "") + ascii_lowercase[n]


class _Once:
    """Hands labels on, each no more than once."""

    def __init__(self) -> None:
        self._seen: Counter[str] = Counter()

    def __call__(self, labels: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(map(self._one, labels))

    def _one(self, label: str) -> str:
        wanted = label
        while self._seen[wanted]:
            self._seen[label] += 1
            wanted = f"{label}/{self._seen[label]}"
        self._seen[wanted] += 1
        return wanted
