"""From a choice to a layout: names, pins, contacts, fuses, figures."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from allocator.choosing import Choice
from allocator.layout import (
    Circuit,
    Contact,
    Feed,
    FittedUnit,
    Layout,
    PlacedWire,
    Splice,
    Totals,
)
from allocator.pinning import PinStock, deal
from allocator.pricing import Conductor, FeedOption, Option, Pricing, Slot
from allocator.problem import Load, Problem
from allocator.wiring import resistance_ohm_m, running_temperature_c, standard_fuses, wire_g


@dataclass(frozen=True, slots=True)
class _Taken:
    """One circuit to be made: an option, and the loads it feeds by alike group."""

    name: str
    option: Option
    loads: tuple[tuple[int, tuple[Load, ...]], ...]

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(load.name for _, own in self.loads for load in own)


def assemble(pricing: Pricing, choice: Choice, covered: Pricing | None = None) -> Layout:
    """The layout of a choice, complete but for the seconds it took.

    ``covered`` is the pricing whose options the proof covers, where it is not the one that the choice is made of.
    """
    problem = pricing.problem
    head = Layout(
        problem=problem.name,
        problem_sha256=problem.digest,
        made_with=_made_with(choice),
        status=choice.status,
        objective_g=_rounded(choice.objective_g),
        bound_g=_rounded(choice.bound_g),
        gap=choice.gap,
        defaults=problem.defaults,
        listed=_listed(covered or pricing),
    )
    if choice.objective_g is None:
        return head
    taken = _taken(pricing, choice)
    contacts = _contact_sets(problem, taken)
    unit_names = _unit_names(pricing, choice)
    units = tuple(
        _unit(pricing, choice, pricing.slots[slot], name, [t for t in taken if t.option.slot == slot])
        for slot, name in unit_names.items()
    )
    circuits = [
        circuit
        for slot, name in unit_names.items()
        for circuit in _circuits(pricing, choice, pricing.slots[slot], name, taken, contacts)
    ]
    order = {unit.name: n for n, unit in enumerate(problem.units)}
    layout = replace(
        head,
        units=tuple(sorted(units, key=lambda u: order[u.name])),
        circuits=tuple(sorted(circuits, key=lambda c: (order[c.unit], c.name))),
    )
    return replace(layout, totals=_totals(pricing, choice, layout))


def _rounded(grams: float | None) -> float | None:
    return None if grams is None else round(grams, 6)


def _made_with(choice: Choice) -> tuple[tuple[str, str], ...]:
    from importlib.metadata import version

    return (("allocator", version("allocator")), ("highspy", choice.solver), ("pulp", version("pulp")))


def _listed(pricing: Pricing) -> tuple[tuple[str, object], ...]:
    return (
        ("options", len(pricing.options)),
        ("circuits", len(pricing.candidates)),
        ("slots", len(pricing.slots)),
        ("feeds", len(pricing.feeds)),
        ("cut_short", pricing.cut_short),
    )


def _unit_names(pricing: Pricing, choice: Choice) -> dict[int, str]:
    """Names of fitted units by slot: those of a kind in their order, over its fitted slots in theirs."""
    names: dict[int, str] = {}
    for number, kind in enumerate(pricing.kinds):
        fitted = [s for s in choice.slots if pricing.slots[s].kind == number]
        names |= {slot: unit.name for slot, unit in zip(fitted, kind.units, strict=False)}
    return names


def _taken(pricing: Pricing, choice: Choice) -> list[_Taken]:
    """Circuits with their loads: alike loads are told off in their order."""
    waiting = {group.index: list(group.loads) for group in pricing.alike}
    raw: list[tuple[Option, tuple[tuple[int, tuple[Load, ...]], ...]]] = []
    for index, count in choice.options:
        option = pricing.options[index]
        for _ in range(count):
            own = tuple((g, tuple(waiting[g].pop(0) for _ in range(n))) for g, n in option.candidate.members)
            raw.append((option, own))
    words = Counter(own[0][1][0].share for _, own in raw if sum(len(x) for _, x in own) > 1)
    seen: Counter[str | None] = Counter()
    taken = []
    for option, own in raw:
        first = own[0][1][0]
        if option.candidate.single:
            name = first.name
        else:
            seen[first.share] += 1
            name = f"{first.share}" if words[first.share] == 1 else f"{first.share} {seen[first.share]}"
        taken.append(_Taken(name, option, own))
    return sorted(taken, key=lambda t: (t.name, t.names))


def _circuits(
    pricing: Pricing,
    choice: Choice,
    slot: Slot,
    unit: str,
    everywhere: list[_Taken],
    contacts: dict[tuple[str, int, int], int],
) -> list[Circuit]:
    """Circuits of one unit with their pins. Dearer outputs stay free where they can."""
    taken = [t for t in everywhere if t.option.slot == slot.index]
    stock = PinStock({q: group.pins for q, group in enumerate(slot.classes)})
    pins = {t.name: stock.take(t.option.takes) for t in taken if t.option.takes}
    kept = {q: n for s, q, n in choice.spare if s == slot.index}
    flexible = sorted((t for t in taken if not t.option.takes), key=lambda t: (_current(t), t.name))
    worth = {q: group.rating_a for q, group in enumerate(slot.classes)}
    dealt = deal([t.option.classes for t in flexible], stock.left(kept), worth)
    classes = {t.name: q for t, q in zip(flexible, dealt, strict=True)}
    for t in sorted(flexible, key=lambda t: t.name):
        pins[t.name] = stock.take([(classes[t.name], 1)])
    return [_circuit(pricing, slot, unit, t, classes.get(t.name), pins[t.name], contacts) for t in taken]


def _current(taken: _Taken) -> float:
    return sum(load.full_current_a for _, own in taken.loads for load in own)


def _circuit(
    pricing: Pricing,
    slot: Slot,
    unit: str,
    taken: _Taken,
    number: int | None,
    pins: tuple[str, ...],
    contacts: dict[tuple[str, int, int], int],
) -> Circuit:
    option = taken.option
    q = option.takes[0][0] if number is None else number
    group = slot.classes[q]
    return Circuit(
        name=taken.name,
        loads=taken.names,
        unit=unit,
        pins=pins,
        bank=group.bank,
        output_class=group.output.name,
        current_a=round(_current(taken), 6),
        trip_a=dict(option.trips)[q],
        wires=tuple(_wires(taken, contacts)),
        splices=tuple(Splice(place=place, count=n) for place, n in option.plan.splices),
        drop_percent=round(100.0 * option.plan.drop_v / pricing.problem.running_v, 3),
    )


def _wires(taken: _Taken, contacts: dict[tuple[str, int, int], int]) -> list[PlacedWire]:
    """The wires of a circuit one by one; alike loads take alike wires in their order."""
    own = dict(taken.loads)
    waiting = {(role, g): list(loads) for role in ("branch", "return") for g, loads in taken.loads}
    wires: list[PlacedWire] = []
    for conductor in taken.option.conductors:
        for _ in range(conductor.count):
            loads: list[Load] = []
            for g, n in conductor.members:
                single = conductor.role in ("branch", "return") and (conductor.role, g) in waiting
                count = n // conductor.count if conductor.role == "return" else n
                loads += [waiting[conductor.role, g].pop(0) for _ in range(count)] if single else own[g][:n]
            sets = [contacts[taken.name, len(wires), n] for n in range(len(conductor.crossings))]
            wires.append(_wire(conductor, tuple(load.name for load in loads), sets))
    return wires


def _wire(conductor: Conductor, loads: tuple[str, ...], sets: list[int]) -> PlacedWire:
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
        factor=1.0,
        contacts=tuple(Contact(bulkhead=x.bulkhead, set=n) for x, n in zip(conductor.crossings, sets, strict=True)),
        loads=loads,
    )


def _contact_sets(problem: Problem, taken: list[_Taken]) -> dict[tuple[str, int, int], int]:
    """A contact set for every crossing, by (circuit, wire, crossing); larger contacts stay free where they can."""
    wanted: dict[str, list[tuple[tuple[str, int, int], frozenset[int]]]] = {}
    for t in taken:
        wires = [c for c in t.option.conductors for _ in range(c.count)]
        for number, conductor in enumerate(wires):
            for position, crossing in enumerate(conductor.crossings):
                wanted.setdefault(crossing.bulkhead, []).append(((t.name, number, position), crossing.accepted))
    found: dict[tuple[str, int, int], int] = {}
    for name, wishes in wanted.items():
        sets = problem.bulkhead[name].contacts
        supply = {n: contact.count for n, contact in enumerate(sets)}
        worth = {n: contact.wire_mm2[1] for n, contact in enumerate(sets)}
        dealt = deal([accepted for _, accepted in wishes], supply, worth)
        found |= {place: n for (place, _), n in zip(wishes, dealt, strict=True)}
    return found


def _unit(pricing: Pricing, choice: Choice, slot: Slot, name: str, taken: list[_Taken]) -> FittedUnit:
    problem = pricing.problem
    currents = tuple(
        (condition, round(_worst_current(problem, m, taken), 6)) for m, condition in enumerate(problem.conditions)
    )
    feed = next(pricing.feeds[f] for f in choice.feeds if pricing.feeds[f].slot == slot.index)
    most = max(current for _, current in currents) + slot.unit.spare_current_a
    return FittedUnit(
        name=name,
        site=slot.site,
        type=slot.unit_type.name,
        feed=_feed(problem, feed, most),
        current_a=currents,
        spare=tuple(
            (slot.classes[q].output.name, slot.classes[q].bank, n) for s, q, n in choice.spare if s == slot.index
        ),
    )


def _worst_current(problem: Problem, condition: int, taken: list[_Taken]) -> float:
    """Current of a unit in a condition with the ``robust`` largest spreads on top."""
    loads = [load for t in taken for _, own in t.loads for load in own]
    heats = [load.current_a * load.heating(condition) for load in loads]
    spreads = sorted((h * load.spread for h, load in zip(heats, loads, strict=True)), reverse=True)
    return sum(heats) + sum(spreads[: problem.margins.robust])


def _feed(problem: Problem, feed: FeedOption, current_a: float) -> Feed:
    hot = running_temperature_c(current_a, feed.ampacity_a, feed.route.ambient_c, feed.wire.insulation_c)
    drop = current_a * resistance_ohm_m(feed.wire, hot) * feed.length_m
    needed = current_a / problem.margins.fuse_use * (1.0 - 1e-9)
    return Feed(
        size=feed.wire.size,
        route=feed.route.places,
        insulation_c=feed.wire.insulation_c,
        length_m=round(feed.length_m, 6),
        copper_g=feed.copper_g,
        wire_g=round(wire_g(feed.wire, feed.length_m), 3),
        fuse_a=next(fuse for fuse in standard_fuses() if fuse >= needed),
        drop_percent=round(100.0 * drop / problem.running_v, 3),
    )


def _totals(pricing: Pricing, choice: Choice, layout: Layout) -> Totals:
    wires = [wire for circuit in layout.circuits for wire in circuit.wires]
    feeds = [unit.feed for unit in layout.units if unit.feed is not None]
    branch = sum(wire.copper_g or 0.0 for wire in wires)
    feed = sum(f.copper_g or 0.0 for f in feeds)
    used = sum(len(circuit.pins) for circuit in layout.circuits)
    spare = sum(pricing.slots[s].spare for s in choice.slots)
    outputs = sum(pricing.slots[s].outputs for s in choice.slots)
    return Totals(
        copper_g=round(branch + feed, 3),
        branch_copper_g=round(branch, 3),
        feed_copper_g=round(feed, 3),
        wire_g=round(sum(w.wire_g or 0.0 for w in wires) + sum(f.wire_g or 0.0 for f in feeds), 3),
        length_m=round(sum(w.length_m or 0.0 for w in wires) + sum(f.length_m or 0.0 for f in feeds), 6),
        outputs_used=used,
        outputs_spare=spare,
        outputs_unused=outputs - used - spare,
        units_fitted=len(layout.units),
        splices=sum(s.count for circuit in layout.circuits for s in circuit.splices),
    )
