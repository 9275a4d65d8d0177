"""Circuits of a unit: their pins, their wires one by one, their figures."""

from __future__ import annotations

from allocator.assembly.drops import drop_percent
from allocator.assembly.pins import PinStock, deal
from allocator.assembly.segments import Laid
from allocator.assembly.shared_wires import Shared, each_wire
from allocator.assembly.taken import Taken
from allocator.layout import Circuit, Contact, PlacedWire, Splice
from allocator.model import Solution
from allocator.options import ConductorOption, OptionList, Slot, WiringPlan
from allocator.problem import Load
from allocator.wiring import wire_g


def circuits_of(
    option_list: OptionList,
    solution: Solution,
    slot: Slot,
    unit: str,
    everywhere: list[Taken],
    everything: Shared,
    laid: Laid,
) -> list[Circuit]:
    """Circuits of one unit with their pins. Costlier outputs stay free where they can.

    Parameters
    ----------
    option_list
        The listed options.
    solution
        The values of the solved model.
    slot
        The unit at its site.
    unit
        Name that the unit has in the layout.
    everywhere
        The chosen options of all units, each with its loads.
    everything
        The contact set of every crossing.
    laid
        What the solution lays where.
    """
    taken = [t for t in everywhere if t.option.slot == slot.index]
    stock = PinStock({q: group.pins for q, group in enumerate(slot.classes)})
    pins = {t.name: stock.take(t.option.takes) for t in taken if t.option.takes}
    kept = {q: n for s, q, n in solution.spare if s == slot.index}
    flexible = sorted((t for t in taken if not t.option.takes), key=lambda t: (_current(t), t.name))
    worth = {q: group.rating_a for q, group in enumerate(slot.classes)}
    dealt = deal([t.option.classes for t in flexible], stock.left(kept), worth)
    classes = {t.name: q for t, q in zip(flexible, dealt, strict=True)}
    for t in sorted(flexible, key=lambda t: t.name):
        pins[t.name] = stock.take([(classes[t.name], 1)])
    return [_circuit(option_list, slot, unit, t, classes.get(t.name), pins[t.name], everything, laid) for t in taken]


def _current(taken: Taken) -> float:
    return sum(load.full_current_a for _, own in taken.loads for load in own)


def _circuit(
    option_list: OptionList,
    slot: Slot,
    unit: str,
    taken: Taken,
    number: int | None,
    pins: tuple[str, ...],
    everything: Shared,
    laid: Laid,
) -> Circuit:
    option = taken.option
    q = option.takes[0][0] if number is None else number
    group = slot.classes[q]
    plan = laid.plan(option.plan)
    wires = tuple(_wires(taken, plan, everything, laid))
    bridge = any(load.bridge for _, own in taken.loads for load in own)
    return Circuit(
        name=taken.name,
        loads=taken.names,
        unit=unit,
        pins=pins,
        bank=group.bank,
        output_class=group.output.name,
        current_a=round(_current(taken), 6),
        trip_a=dict(option.trips)[q],
        wires=wires,
        splices=tuple(Splice(place=place, count=n) for place, n in option.plan.splices),
        drop_percent=drop_percent(option_list.problem, plan, wires, bridge=bridge),
    )


def _wires(taken: Taken, plan: WiringPlan, everything: Shared, laid: Laid) -> list[PlacedWire]:
    """The wires of a circuit one by one; alike loads take alike wires in their order."""
    own = dict(taken.loads)
    waiting = {(role, g): list(loads) for role in ("branch", "return") for g, loads in taken.loads}
    wires: list[PlacedWire] = []
    for conductor in each_wire(plan.conductors):
        loads: list[Load] = []
        for g, n in conductor.members:
            if conductor.role in ("branch", "return"):
                loads += [waiting[conductor.role, g].pop(0) for _ in range(n // conductor.count)]
            else:
                loads += own[g][:n]
        contacts = everything.contacts("circuit", taken.name, len(wires), conductor.crossings)
        names = tuple(load.name for load in loads)
        wires.append(placed(laid, conductor, names, contacts))
    return wires


def placed(laid: Laid, conductor: ConductorOption, loads: tuple[str, ...], contacts: tuple[Contact, ...]) -> PlacedWire:
    """A conductor as a wire of the layout.

    Parameters
    ----------
    laid
        What the solution lays where.
    conductor
        The chosen conductor.
    loads
        Names of the loads whose current it carries.
    contacts
        Its contacts, in the order in which it crosses bulkheads.
    """
    return PlacedWire(
        role=conductor.role,
        size=conductor.wire.size,
        start=conductor.route.places[0],
        end=conductor.route.places[-1],
        route=conductor.route.places,
        insulation_c=conductor.wire.insulation_c,
        length_m=round(conductor.length_m, 6),
        copper_g=conductor.copper_g,
        wire_g=round(wire_g(conductor.wire, conductor.length_m), 3),
        contacts=contacts,
        loads=loads,
        factor=round(laid.factor(conductor.route, conductor.line), 6),
    )
