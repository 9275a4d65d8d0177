"""What circuits, direct loads and given wires share: the contacts of bulkheads."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from allocator.assembly.pins import deal
from allocator.assembly.taken import Taken
from allocator.layout import Contact
from allocator.model import Solution
from allocator.options import ConductorOption, Crossing, OptionList

Place = tuple[str, str, int, int]
"""Kind and name of a circuit, number of its wire, number of the crossing."""


@dataclass(frozen=True)
class Shared:
    """A contact set for every crossing."""

    sets: dict[Place, int]

    def contacts(self, kind: str, name: str, wire: int, crossings: Iterable[Crossing]) -> tuple[Contact, ...]:
        """Contacts of one wire, in the order in which it crosses.

        Parameters
        ----------
        kind
            ``circuit``, ``direct`` or ``given``.
        name
            Name of the circuit, direct load or given wire.
        wire
            Number of the wire in it, from 0.
        crossings
            The bulkheads that it crosses, with the sets that take it.
        """
        return tuple(Contact(bulkhead=x.bulkhead, set=self.sets[kind, name, wire, n]) for n, x in enumerate(crossings))


def shared(option_list: OptionList, solution: Solution, taken: Iterable[Taken]) -> Shared:
    """Contacts dealt over the whole layout."""
    taken = list(taken)
    wishes = list(_wishes(option_list, solution, taken))
    return Shared(_dealt(option_list, wishes))


def each_wire(conductors: Iterable[ConductorOption]) -> list[ConductorOption]:
    """Conductors one by one."""
    return [conductor for conductor in conductors for _ in range(conductor.count)]


def _wishes(option_list: OptionList, solution: Solution, taken: list[Taken]) -> Iterator[tuple[Place, Crossing]]:
    wires: list[tuple[str, str, int, tuple[Crossing, ...]]] = []
    for t in taken:
        wires += [("circuit", t.name, n, c.crossings) for n, c in enumerate(each_wire(t.option.conductors))]
    for d in solution.direct:
        direct = option_list.direct[d]
        wires += [("direct", direct.load.name, n, c.crossings) for n, c in enumerate(direct.plan.conductors)]
    for n, core in enumerate(option_list.given):
        wires.append(("given", core.name, n, core.crossings))
    for kind, name, number, crossings in wires:
        for position, crossing in enumerate(crossings):
            yield (kind, name, number, position), crossing


def _dealt(option_list: OptionList, wishes: list[tuple[Place, Crossing]]) -> dict[Place, int]:
    """A contact set for every crossing; larger contacts stay free where they can."""
    found: dict[Place, int] = {}
    for bulkhead in option_list.problem.bulkheads:
        own = [(place, crossing.accepted) for place, crossing in wishes if crossing.bulkhead == bulkhead.name]
        supply = {n: contact.count for n, contact in enumerate(bulkhead.contacts)}
        worth = {n: contact.wire_mm2[1] for n, contact in enumerate(bulkhead.contacts)}
        dealt = deal([accepted for _, accepted in own], supply, worth)
        found |= {place: n for (place, _), n in zip(own, dealt, strict=True)}
    return found
