"""A known layout as a first choice for the solver."""

from __future__ import annotations

from collections import Counter

from allocator.choosing import Choice
from allocator.choosing.choose import FEASIBLE
from allocator.layout import Circuit, Layout
from allocator.pricing import Option, Pricing, Slot


def choice_from(pricing: Pricing, layout: Layout) -> Choice | None:
    """The choice that makes a layout again; None where a unit or circuit of it is not among what is listed.

    Of options that differ in wire only, the very one is taken, or else the cheapest: the layout's decisions are its
    sites, circuits and outputs.
    """
    slots = _slots(pricing, layout)
    if slots is None:
        return None
    chosen: Counter[int] = Counter()
    for circuit in layout.circuits:
        slot = slots.get(circuit.unit)
        option = _very_option(pricing, circuit, slot) or _option(pricing, circuit, slot)
        if option is None:
            return None
        chosen[option.index] += 1
    return Choice(
        status=FEASIBLE,
        options=tuple(sorted(chosen.items())),
        slots=tuple(sorted(s.index for s in slots.values())),
        spare=_spare(layout, slots),
    )


def _slots(pricing: Pricing, layout: Layout) -> dict[str, Slot] | None:
    kind_of = {unit.name: number for number, kind in enumerate(pricing.kinds) for unit in kind.units}
    found: dict[str, Slot] = {}
    for unit in layout.units:
        taken = {slot.index for slot in found.values()}
        own = [s for s in pricing.slots if s.kind == kind_of.get(unit.name) and s.site == unit.site]
        free = [s for s in own if s.index not in taken]
        if not free:
            return None
        found[unit.name] = free[0]
    return found


def _option(pricing: Pricing, circuit: Circuit, slot: Slot | None) -> Option | None:
    return min(_fitting(pricing, circuit, slot), key=lambda option: (option.copper_g, option.index), default=None)


def _fitting(pricing: Pricing, circuit: Circuit, slot: Slot | None) -> list[Option]:
    """Options of the loads of a circuit on such outputs; they differ in wire only."""
    if slot is None:
        return []
    group_of = {load.name: group.index for group in pricing.alike for load in group.loads}
    if any(load not in group_of for load in circuit.loads):
        return []
    members = Counter(group_of[load] for load in circuit.loads)
    classes = {q for q, group in enumerate(slot.classes) if set(circuit.pins) & set(group.pins)}
    return [
        option
        for option in pricing.by_slot[slot.index]
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


def options_taken(pricing: Pricing, layout: Layout) -> tuple[dict[str, Slot], tuple[Option | None, ...]] | None:
    """The slot of each unit of a complete layout, and the option that each circuit is, wires and all.

    None for a circuit whose wires are not listed so; None in all where a unit sits at no slot of the pricing.
    """
    slots = _slots(pricing, layout)
    if slots is None:
        return None
    return slots, tuple(_very_option(pricing, circuit, slots.get(circuit.unit)) for circuit in layout.circuits)


def pairs_in(pricing: Pricing, layout: Layout) -> set[tuple[tuple[tuple[int, int], ...], int]] | None:
    """Members and slot of each circuit of a layout; None where a unit or load of it is none of the problem's."""
    slots = _slots(pricing, layout)
    group_of = {load.name: group.index for group in pricing.alike for load in group.loads}
    if slots is None or any(c.unit not in slots or not {*c.loads} <= {*group_of} for c in layout.circuits):
        return None
    return {
        (tuple(sorted(Counter(group_of[load] for load in circuit.loads).items())), slots[circuit.unit].index)
        for circuit in layout.circuits
    }


def _very_option(pricing: Pricing, circuit: Circuit, slot: Slot | None) -> Option | None:
    laid = Counter((wire.size, wire.insulation_c, _way(wire.route)) for wire in circuit.wires)
    for option in _fitting(pricing, circuit, slot):
        listed: Counter[tuple[str, float | None, tuple[str, ...]]] = Counter()
        for c in option.conductors:
            listed[c.wire.size, c.wire.insulation_c, _way(c.route.places)] += c.count
        if listed == laid:
            return option
    return None


def _way(places: tuple[str, ...]) -> tuple[str, ...]:
    """A route, whichever end it is told from."""
    return min(places, places[::-1])
