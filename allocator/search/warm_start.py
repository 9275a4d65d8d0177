"""A warm start: a known layout as a solution for the solver to begin from."""

from __future__ import annotations

from collections import Counter

from allocator.layout import Circuit, Layout
from allocator.model import Solution
from allocator.model.solution import FEASIBLE
from allocator.options import Option, OptionList, Slot


def solution_from(option_list: OptionList, layout: Layout) -> Solution | None:
    """The solution that reproduces a layout; None where one of its units or circuits is not listed.

    Of options that differ only in wire, the same one is taken, or else the cheapest: the layout's decisions are its
    sites, circuits and outputs.
    """
    slots = _slots(option_list, layout)
    if slots is None:
        return None
    chosen: Counter[int] = Counter()
    for circuit in layout.circuits:
        slot = slots.get(circuit.unit)
        option = _very_option(option_list, circuit, slot) or _option(option_list, circuit, slot)
        if option is None:
            return None
        chosen[option.index] += 1
    return Solution(
        status=FEASIBLE,
        options=tuple(sorted(chosen.items())),
        slots=tuple(sorted(s.index for s in slots.values())),
        spare=_spare(layout, slots),
    )


def _slots(option_list: OptionList, layout: Layout) -> dict[str, Slot] | None:
    group_of_unit = {
        unit.name: number for number, unit_group in enumerate(option_list.unit_groups) for unit in unit_group.units
    }
    found: dict[str, Slot] = {}
    for unit in layout.units:
        taken = {slot.index for slot in found.values()}
        own = [s for s in option_list.slots if s.unit_group == group_of_unit.get(unit.name) and s.site == unit.site]
        free = [s for s in own if s.index not in taken]
        if not free:
            return None
        found[unit.name] = free[0]
    return found


def _option(option_list: OptionList, circuit: Circuit, slot: Slot | None) -> Option | None:
    return min(_fitting(option_list, circuit, slot), key=lambda option: (option.copper_g, option.index), default=None)


def _fitting(option_list: OptionList, circuit: Circuit, slot: Slot | None) -> list[Option]:
    """Options of the loads of a circuit on such outputs; they differ in wire only."""
    if slot is None:
        return []
    group_of = {load.name: group.index for group in option_list.load_groups for load in group.loads}
    if any(load not in group_of for load in circuit.loads):
        return []
    members = Counter(group_of[load] for load in circuit.loads)
    classes = {q for q, group in enumerate(slot.classes) if set(circuit.pins) & set(group.pins)}
    return [
        option
        for option in option_list.by_slot[slot.index]
        if Counter(dict(option.candidate.members)) == members
        and option.outputs == len(circuit.pins)
        and classes <= (option.classes | {q for q, _ in option.takes})
    ]


def _spare(layout: Layout, slots: dict[str, Slot]) -> tuple[tuple[int, int, int], ...]:
    found = []
    for unit in layout.units:
        slot = slots[unit.name]
        for name, bank, count in unit.spare:
            number = next(
                (q for q, g in enumerate(slot.classes) if g.output.name == name and g.bank == bank and not g.pinned),
                None,
            )
            if number is not None:
                found.append((slot.index, number, count))
    return tuple(found)


def options_taken(option_list: OptionList, layout: Layout) -> tuple[dict[str, Slot], tuple[Option | None, ...]] | None:
    """The slot of each unit of a complete layout, and the option that each circuit is, wires and all.

    None for a circuit whose wires are not listed so; None in all where a unit sits at no slot of the option list.
    """
    slots = _slots(option_list, layout)
    if slots is None:
        return None
    return slots, tuple(_very_option(option_list, circuit, slots.get(circuit.unit)) for circuit in layout.circuits)


def pairs_in(option_list: OptionList, layout: Layout) -> set[tuple[tuple[tuple[int, int], ...], int]] | None:
    """Members and slot of each circuit of a layout; None where a unit or load of it is none of the problem's."""
    slots = _slots(option_list, layout)
    group_of = {load.name: group.index for group in option_list.load_groups for load in group.loads}
    if slots is None or any(c.unit not in slots or not {*c.loads} <= {*group_of} for c in layout.circuits):
        return None
    return {
        (tuple(sorted(Counter(group_of[load] for load in circuit.loads).items())), slots[circuit.unit].index)
        for circuit in layout.circuits
    }


def _very_option(option_list: OptionList, circuit: Circuit, slot: Slot | None) -> Option | None:
    laid = Counter((wire.size, wire.insulation_c, _way(wire.route)) for wire in circuit.wires)
    # one that stays as built is like a new one, but for its weight
    for option in sorted(_fitting(option_list, circuit, slot), key=lambda option: not option.stays):
        listed: Counter[tuple[str, float | None, tuple[str, ...]]] = Counter()
        for c in option.conductors:
            listed[c.wire.size, c.wire.insulation_c, _way(c.route.places)] += c.count
        if listed == laid:
            return option
    return None


def _way(places: tuple[str, ...]) -> tuple[str, ...]:
    """A route, the same from either end."""
    return min(places, places[::-1])
