"""Numbers of contacts: a wire that has one keeps it, every other gets the lowest of its set that is left.

The contacts of a bulkhead are numbered from 1, one set after another in the order of the problem. Numbers change
nothing that is reckoned; they are there so that a person knows where to push a contact in, and so that what is built
keeps its contact in a revision.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from allocator.layout import Circuit, Contact, DirectCircuit, GivenRun, Layout, PlacedWire
from allocator.problem import Bulkhead, Problem

Renumber = Callable[[Contact], Contact]


def numbers_of(bulkhead: Bulkhead, contact_set: int) -> range:
    """Numbers of the contacts of one set, none where there is no such set."""
    if not 0 <= contact_set < len(bulkhead.contacts):
        return range(0)
    first = 1 + sum(one.count for one in bulkhead.contacts[:contact_set])
    return range(first, first + bulkhead.contacts[contact_set].count)


def numbered(problem: Problem, layout: Layout) -> Layout:
    """A layout whose contacts all have numbers, as far as their sets have any left."""
    taken = {(one.bulkhead, one.number) for one in contacts_of(layout)}

    def number(contact: Contact) -> Contact:
        bulkhead = problem.bulkhead.get(contact.bulkhead)
        if contact.number is not None or bulkhead is None:
            return contact
        left = (n for n in numbers_of(bulkhead, contact.set) if (contact.bulkhead, n) not in taken)
        own = replace(contact, number=next(left, None))
        taken.add((own.bulkhead, own.number))
        return own

    return _renumbered(layout, number)


def keeping_numbers(problem: Problem, before: Layout, after: Layout) -> Layout:
    """``after`` with the numbers that its wires had in ``before``: those of wires alike that pass the same sets.

    Numbers that the problem no longer has in the set, and those taken before, are given up.
    """
    known = {key: contacts for key, contacts in _named(before) if contacts}
    taken: set[tuple[str, int | None]] = set()

    def fit(contact: Contact) -> Contact:
        bulkhead, number = problem.bulkhead.get(contact.bulkhead), (contact.bulkhead, contact.number)
        if number in taken or bulkhead is None or contact.number not in numbers_of(bulkhead, contact.set):
            return replace(contact, number=None)
        taken.add(number)
        return contact

    kept = _map_wires(after, lambda key, own: known[key] if known.get(key) == own else own)
    return _renumbered(kept, fit)


def contacts_of(layout: Layout) -> Iterator[Contact]:
    """Every contact that a layout names, wire by wire."""
    for _, contacts in _named(layout):
        yield from contacts


Key = tuple[object, ...]
"""What stays with a wire: by it a wire is known again in another layout."""


def _keys(circuit: Circuit | DirectCircuit) -> tuple[Key, ...]:
    """Keys of the wires of a circuit, alike ones told apart by their number."""
    found: list[Key] = []
    for wire in circuit.wires:
        if wire.role == "return":
            key: Key = ("return", wire.loads, wire.size, wire.route)
        elif isinstance(circuit, DirectCircuit):
            key = ("direct", circuit.load, wire.size, wire.route)
        else:
            behind = wire.loads if wire.role == "branch" else ()
            key = (circuit.unit, circuit.pins, wire.role, wire.size, wire.route, behind)
        found.append((*key, sum(other[:-1] == key for other in found)))
    return tuple(found)


def _named(layout: Layout) -> Iterator[tuple[Key, tuple[Contact, ...]]]:
    circuits: list[Circuit | DirectCircuit] = [*layout.circuits, *layout.direct]
    for circuit in circuits:
        for key, wire in zip(_keys(circuit), circuit.wires, strict=True):
            yield key, wire.contacts
    for run in layout.given:
        yield ("given", run.wire, run.size, run.route), run.contacts


def _renumbered(layout: Layout, number: Renumber) -> Layout:
    return _map_wires(layout, lambda _, own: tuple(map(number, own)))


def _map_wires(layout: Layout, change: Callable[[Key, tuple[Contact, ...]], tuple[Contact, ...]]) -> Layout:
    """A layout with the contacts of every wire changed."""

    def wires(circuit: Circuit | DirectCircuit) -> tuple[PlacedWire, ...]:
        return tuple(
            replace(wire, contacts=change(key, wire.contacts))
            for key, wire in zip(_keys(circuit), circuit.wires, strict=True)
        )

    def given(run: GivenRun) -> GivenRun:
        return replace(run, contacts=change(("given", run.wire, run.size, run.route), run.contacts))

    return replace(
        layout,
        circuits=tuple(replace(one, wires=wires(one)) for one in layout.circuits),
        direct=tuple(replace(one, wires=wires(one)) for one in layout.direct),
        given=tuple(map(given, layout.given)),
    )
