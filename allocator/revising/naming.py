"""Names and pins: what stays keeps its loads and pins; the rest get names and pins from what is left."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields, replace
from typing import Any, TypeVar

from allocator.assembly import assemble
from allocator.assembly.taken import Taken, taken_circuits
from allocator.evaluation.complete import complete
from allocator.evaluation.contact_numbering import keeping_numbers
from allocator.layout import FEASIBLE, Circuit, DirectCircuit, Feed, GivenRun, Layout, PlacedWire, Totals
from allocator.problem import Problem
from allocator.search.incumbent import Incumbent

Figures = TypeVar("Figures", Circuit, DirectCircuit, PlacedWire, Feed, GivenRun, Totals)


def revised_layout(problem: Problem, built: Layout, found: Incumbent) -> Layout:
    """The layout of a revision of what is built.

    Its figures are recomputed: the objective is that of any layout of the problem, the copper all that is in the
    machine. Nothing is proven of it.
    """
    layout = assemble(found.option_list, found.solution)
    taken = {t.name: t for t in taken_circuits(found.option_list, found.solution)}
    as_built = {c.name: c for c in built.circuits}
    stays = {name: as_built[t.option.stays] for name, t in taken.items() if t.option.stays}
    renamed = _load_names(taken, stays)
    circuits = [_renamed(circuit, renamed) for circuit in layout.circuits]
    circuits = [
        _as_built(new, stays[old.name]) if old.name in stays else new
        for old, new in zip(layout.circuits, circuits, strict=True)
    ]
    names = _circuit_names(circuits, [old.name in stays for old in layout.circuits])
    circuits = [replace(circuit, name=name) for circuit, name in zip(circuits, names, strict=True)]
    kept = {name: stays[old.name].pins for name, old in zip(names, layout.circuits, strict=True) if old.name in stays}
    bare = replace(
        layout,
        status=FEASIBLE,
        objective_g=None,
        bound_g=None,
        gap=None,
        totals=None,
        circuits=with_pins(circuits, kept),
    )
    return rounded(complete(problem, keeping_numbers(problem, built, bare)))


def _load_names(taken: Mapping[str, Taken], stays: Mapping[str, Circuit]) -> dict[str, str]:
    """From the load that a circuit was given to the one it gets: circuits that stay first, then the rest in order."""
    waiting: dict[int, list[str]] = {}
    for t in taken.values():
        for group, loads in t.loads:
            waiting.setdefault(group, []).extend(load.name for load in loads)
    group_of = {name: group for group, names in waiting.items() for name in names}
    renamed: dict[str, str] = {}
    for name, circuit in stays.items():
        given = {group: [load.name for load in loads] for group, loads in taken[name].loads}
        for wanted in circuit.loads:
            renamed[given[group_of[wanted]].pop(0)] = wanted
    left = {group: [n for n in names if n not in renamed.values()] for group, names in waiting.items()}
    for group, names in waiting.items():
        for given_name in names:
            if given_name not in renamed:
                renamed[given_name] = left[group].pop(0)
    return renamed


def _renamed(circuit: Circuit, names: Mapping[str, str]) -> Circuit:
    def wire(one: PlacedWire) -> PlacedWire:
        return replace(one, loads=tuple(names[name] for name in one.loads))

    loads = tuple(names[name] for name in circuit.loads)
    name = loads[0] if len(loads) == 1 else circuit.name
    return replace(circuit, name=name, loads=loads, wires=tuple(wire(one) for one in circuit.wires))


def _as_built(circuit: Circuit, built: Circuit) -> Circuit:
    """A circuit that stays: loads and outgoing wires as they are, and its returns, finished or new, load by load."""
    outs = [wire for wire in built.wires if wire.role != "return"]
    backs = [wire for wire in circuit.wires if wire.role == "return"]
    returning = [name for name in built.loads if any(name in wire.loads for wire in backs)]
    returns = [replace(wire, loads=(name,)) for wire, name in zip(backs, returning, strict=True)]
    return replace(circuit, name=built.name, loads=built.loads, wires=(*outs, *returns), splices=built.splices)


def _circuit_names(circuits: list[Circuit], stays: list[bool]) -> list[str]:
    """Unique names; circuits that stay keep theirs."""
    names = [circuit.name for circuit in circuits]
    used = {name for name, stay in zip(names, stays, strict=True) if stay}
    for n, stay in enumerate(stays):
        if not stay:
            stem, number = names[n], 1
            while names[n] in used:
                number += 1
                names[n] = f"{stem} ({number})"
            used.add(names[n])
    return names


def with_pins(circuits: Iterable[Circuit], kept: Mapping[str, tuple[str, ...]]) -> tuple[Circuit, ...]:
    """Circuits, some with the pins named; those that held these take theirs, of the same class and bank."""
    pins = {circuit.name: list(circuit.pins) for circuit in circuits}
    unit = {circuit.name: circuit.unit for circuit in circuits}
    for name, wanted in kept.items():
        for place, pin in enumerate(wanted):
            own = pins[name][place]
            if own == pin:
                continue
            holder = next((other for other in pins if unit[other] == unit[name] and pin in pins[other]), None)
            if holder is not None:
                pins[holder][pins[holder].index(pin)] = own
            pins[name][place] = pin
    return tuple(replace(circuit, pins=tuple(pins[circuit.name])) for circuit in circuits)


DIGITS = {"_a": 6, "_m": 6, "_g": 3, "_percent": 3, "factor": 6}
"""Decimals of the figures of a layout, by the ending of their names."""


def rounded(layout: Layout) -> Layout:
    """A layout with its figures rounded as those of any layout of the engine."""
    circuits = tuple(_rounded(c, wires=tuple(map(_rounded, c.wires))) for c in layout.circuits)
    direct = tuple(_rounded(c, wires=tuple(map(_rounded, c.wires))) for c in layout.direct)
    units = tuple(
        replace(
            unit,
            feed=None if unit.feed is None else _rounded(unit.feed),
            current_a=tuple((condition, round(current, 6)) for condition, current in unit.current_a),
        )
        for unit in layout.units
    )
    return replace(
        layout,
        objective_g=None if layout.objective_g is None else round(layout.objective_g, 6),
        totals=None if layout.totals is None else _rounded(layout.totals),
        units=units,
        circuits=circuits,
        direct=direct,
        given=tuple(map(_rounded, layout.given)),
    )


def _rounded(thing: Figures, **others: Any) -> Figures:
    found: dict[str, Any] = {}
    for f in fields(thing):
        digits = next((d for ending, d in DIGITS.items() if f.name.endswith(ending)), None)
        value = getattr(thing, f.name)
        if digits is not None and isinstance(value, float):
            found[f.name] = round(value, digits)
    return replace(thing, **found, **others)
