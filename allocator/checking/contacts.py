"""Contacts of bulkheads for wires that name none."""

from __future__ import annotations

from dataclasses import replace

from allocator.checking.conductors import accepts
from allocator.checking.context import Fed
from allocator.checking.report import excess
from allocator.layout import Contact, Layout
from allocator.problem import Bulkhead, Problem

Key = tuple[int, int, int]  # circuit, wire, crossing


def contacted(problem: Problem, layout: Layout, circuits: tuple[Fed, ...]) -> Layout:
    """A layout in which every wire that crosses a bulkhead, and names no contact, has one if one is left.

    As many crossings get a contact as can (augmenting paths in the graph of crossings and contact sets).
    """
    taken: dict[Key, Contact] = {}
    for bulkhead in problem.bulkheads:
        taken.update(_assign(bulkhead, layout, circuits))
    changed = []
    for c, circuit in enumerate(layout.circuits):
        wires = []
        for w, wire in enumerate(circuit.wires):
            own = tuple(taken[key] for key in sorted(taken) if key[:2] == (c, w))
            wires.append(replace(wire, contacts=own) if own else wire)
        changed.append(replace(circuit, wires=tuple(wires)))
    return replace(layout, circuits=tuple(changed))


def _assign(bulkhead: Bulkhead, layout: Layout, circuits: tuple[Fed, ...]) -> dict[Key, Contact]:
    free = [contact_set.count for contact_set in bulkhead.contacts]
    wanted: dict[Key, list[int]] = {}
    for c, fed in enumerate(circuits):
        for w, conductor in fed.pairs():
            named = layout.circuits[c].wires[w].contacts
            for contact in named:
                if contact.bulkhead == bulkhead.name and 0 <= contact.set < len(free):
                    free[contact.set] -= 1
            if named or conductor.route is None or conductor.row is None:
                continue
            for n, crossed in enumerate(conductor.route.bulkheads):
                if crossed == bulkhead.name:
                    wanted[c, w, n] = _fitting(bulkhead, conductor.row.area_mm2, conductor.current_a)
    held: list[list[Key]] = [[] for _ in free]
    for key in wanted:
        _place(key, wanted, free, held, set())
    return {key: Contact(bulkhead=bulkhead.name, set=s) for s, keys in enumerate(held) for key in keys}


def _fitting(bulkhead: Bulkhead, area_mm2: float, current_a: float) -> list[int]:
    return [
        s
        for s, contact_set in enumerate(bulkhead.contacts)
        if accepts(contact_set.wire_mm2, area_mm2)
        and (contact_set.continuous_a is None or excess(current_a, contact_set.continuous_a) == 0.0)
    ]


def _place(key: Key, wanted: dict[Key, list[int]], free: list[int], held: list[list[Key]], seen: set[int]) -> bool:
    """Give a crossing a contact, moving others to another set where that makes room."""
    for s in wanted[key]:
        if s in seen:
            continue
        seen.add(s)
        if len(held[s]) < free[s]:
            held[s].append(key)
            return True
        for other in held[s]:
            if _place(other, wanted, free, held, seen):
                held[s].remove(other)
                held[s].append(key)
                return True
    return False
