"""Contacts of bulkheads for wires that name none."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from typing import TypeVar

from allocator.evaluation.context import Context, Key
from allocator.evaluation.laid_conductors import accepts
from allocator.evaluation.tolerance import excess
from allocator.layout import Circuit, Contact, DirectCircuit, Layout
from allocator.problem import Bulkhead

Crossing = tuple[Key, int]  # wire, and which of the crossings of all its cores

Wired = TypeVar("Wired", Circuit, DirectCircuit)


def contacted(context: Context) -> Layout:
    """A layout in which every wire that crosses a bulkhead, and names no contact, has one if one is left.

    As many crossings get a contact as can (augmenting paths in the graph of crossings and contact sets).
    """
    taken: dict[Crossing, Contact] = {}
    for bulkhead in context.problem.bulkheads:
        taken.update(_assign(bulkhead, context))
    own: dict[Key, tuple[Contact, ...]] = defaultdict(tuple)
    for (key, _), contact in sorted(taken.items(), key=lambda pair: pair[0]):
        own[key] += (contact,)
    layout = context.layout
    return replace(
        layout,
        circuits=tuple(_given_contacts(one, own, "circuits", i) for i, one in enumerate(layout.circuits)),
        direct=tuple(_given_contacts(one, own, "direct", i) for i, one in enumerate(layout.direct)),
        given=tuple(
            replace(run, contacts=own.get(("given", i, 0)) or run.contacts) for i, run in enumerate(layout.given)
        ),
    )


def _given_contacts(one: Wired, own: dict[Key, tuple[Contact, ...]], where: str, i: int) -> Wired:
    wires = (replace(wire, contacts=own.get((where, i, n)) or wire.contacts) for n, wire in enumerate(one.wires))
    return replace(one, wires=tuple(wires))


def _assign(bulkhead: Bulkhead, context: Context) -> dict[Crossing, Contact]:
    free = [contact_set.count for contact_set in bulkhead.contacts]
    wanted: dict[Crossing, list[int]] = {}
    for key, named, conductor, cores in context.through_bulkheads():
        for contact in named:
            if contact.bulkhead == bulkhead.name and 0 <= contact.set < len(free):
                free[contact.set] -= 1
        if named or conductor.route is None or conductor.row is None:
            continue
        fitting = _fitting(bulkhead, conductor.row.area_mm2, conductor.current_a)
        together = _working_together(context, key)
        if together > 1:
            fitting = _alike(bulkhead, fitting, free, together)
        for n, crossed in enumerate(conductor.route.bulkheads * cores):
            if crossed == bulkhead.name:
                wanted[key, n] = fitting
    held: list[list[Crossing]] = [[] for _ in free]
    for crossing in wanted:
        _place(crossing, wanted, free, held, set())
    return {crossing: Contact(bulkhead=bulkhead.name, set=s) for s, all_ in enumerate(held) for crossing in all_}


def _fitting(bulkhead: Bulkhead, area_mm2: float, current_a: float) -> list[int]:
    return [
        s
        for s, contact_set in enumerate(bulkhead.contacts)
        if accepts(contact_set.wire_mm2, area_mm2)
        and (contact_set.continuous_a is None or excess(current_a, contact_set.continuous_a) == 0.0)
    ]


def _working_together(context: Context, key: Key) -> int:
    """Wires that have to share a current evenly with a wire, itself included."""
    where, i, n = key
    fed = context.circuits[i] if where == "circuits" else None
    return fed.parallel if fed is not None and fed.wires[n].role == "out" else 1


def _alike(bulkhead: Bulkhead, fitting: list[int], free: list[int], wires: int) -> list[int]:
    """Of the sets that fit, those of the least resistance of which there are enough for all the wires."""
    ohms = {s: bulkhead.contacts[s].resistance_ohm for s in fitting}
    for ohm in sorted(set(ohms.values())):
        alike = [s for s in fitting if ohms[s] == ohm]
        if sum(free[s] for s in alike) >= wires:
            return alike
    return fitting


def _place(
    crossing: Crossing,
    wanted: dict[Crossing, list[int]],
    free: list[int],
    held: list[list[Crossing]],
    seen: set[int],
) -> bool:
    """Give a crossing a contact, moving others to another set where that makes room."""
    for s in wanted[crossing]:
        if s in seen:
            continue
        seen.add(s)
        if len(held[s]) < free[s]:
            held[s].append(crossing)
            return True
        for other in held[s]:
            if _place(other, wanted, free, held, seen):
                held[s].remove(other)
                held[s].append(crossing)
                return True
    return False
