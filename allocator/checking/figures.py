"""Rules on the figures that a layout states: each equals the recomputed one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from math import isclose

from allocator.checking.report import Breach, number
from allocator.evaluation.context import Context
from allocator.evaluation.recompute import gap, recomputed
from allocator.layout import (
    FEASIBLE,
    HAND_MADE,
    INFEASIBLE,
    NOTHING_FOUND,
    OPTIMAL,
    Circuit,
    DirectCircuit,
    Feed,
    FittedUnit,
    GivenRun,
    Layout,
    PlacedWire,
    Totals,
)

ROUNDED = 0.0005  # a stated figure may be rounded to three decimals
PROVEN = 1e-6  # relative distance of bound and objective that counts as proof

UNITS = {"_a": "A", "_m": "m", "_g": "g", "_percent": "%"}
STATES = (OPTIMAL, FEASIBLE, INFEASIBLE, NOTHING_FOUND, HAND_MADE)


def stated_figures(context: Context) -> Iterator[Breach]:
    """Currents, lengths, masses, drops, factors, totals and objective are what the decisions come to."""
    stated, right = context.stated, recomputed(context)
    yield from _differ("layout", "objective_g", stated.objective_g, right.objective_g)
    yield from _gap_differs(stated, right)
    if stated.totals is not None:
        yield from _all("totals", stated.totals, right.totals, False)
    by_hand = stated.status == HAND_MADE
    for said, unit in zip(stated.units, right.units, strict=True):
        yield from _unit(said, unit, by_hand)
    for circuit, own in zip(stated.circuits, right.circuits, strict=True):
        yield from _circuit(f"circuit {circuit.name}", circuit, own, by_hand)
    for direct, whole in zip(stated.direct, right.direct, strict=True):
        yield from _circuit(f"direct load {direct.load}", direct, whole, by_hand)
    for run, laid in zip(stated.given, right.given, strict=False):
        yield from _all(f"given wire {run.wire}", run, laid, by_hand)


def proof(context: Context) -> Iterator[Breach]:
    """The status is known; an optimal layout has a bound at its objective, and no bound is above it."""
    status, bound, objective = context.stated.status, context.stated.bound_g, recomputed(context).objective_g
    if status not in STATES:
        yield Breach("layout", 1, "status", f"status '{status}' is none of {', '.join(STATES)}")
    if objective is None:
        return
    allowed = PROVEN * max(abs(objective), 1.0)
    if status == OPTIMAL and bound is None:
        yield Breach("layout", objective, "g", "the layout claims to be optimal, but gives no bound")
    elif status == OPTIMAL and bound is not None and objective - bound > allowed:
        below = f"{number(objective - bound)} g below its objective"
        text = f"the layout claims to be optimal, but its bound is {below}"
        yield Breach("layout", objective - bound, "g", text)
    if bound is not None and bound - objective > allowed:
        text = f"the bound of the layout is {number(bound - objective)} g above its objective"
        yield Breach("layout", bound - objective, "g", text)


def _gap_differs(stated: Layout, right: Layout) -> Iterator[Breach]:
    """A stated gap follows from objective and bound."""
    if stated.gap is None or right.objective_g is None:
        return
    own = gap(right.objective_g, stated.bound_g)
    if own is None:
        text = "the layout states a gap, but no bound to check it against"
        yield Breach("layout", abs(stated.gap), "of the objective", text)
    elif abs(stated.gap - own) > PROVEN:
        text = f"the layout states a gap of {number(stated.gap)}, recomputed {number(own)}"
        yield Breach("layout", abs(stated.gap - own), "of the objective", text)


def _unit(said: FittedUnit, unit: FittedUnit, by_hand: bool) -> Iterator[Breach]:
    right = dict(unit.current_a)
    for condition, current in said.current_a:
        if condition in right:
            label = f"unit {said.name} in condition {condition}"
            yield from _differ(label, "current_a", current, right[condition])
        elif unit.current_a:
            text = f"unit {said.name} states a current in '{condition}', which is not a condition of the problem"
            yield Breach(f"unit {said.name}", abs(current), "A", text)
    if said.feed is not None and unit.feed is not None:
        yield from _all(f"feed of unit {said.name}", said.feed, unit.feed, by_hand)


def _circuit(label: str, said: Wired, own: Wired, by_hand: bool) -> Iterator[Breach]:
    yield from _differ(label, "current_a", said.current_a, own.current_a)
    yield from _differ(label, "drop_percent", said.drop_percent, own.drop_percent)
    if any(wire.role == "any" for wire in said.wires):
        return  # one size for all wires: no figures to hold against any single one
    for n, (wire, right) in enumerate(zip(said.wires, own.wires, strict=False), start=1):
        yield from _all(f"{label}, wire {n} ({wire.role})", wire, right, by_hand)


Wired = Circuit | DirectCircuit
Stated = Totals | Feed | PlacedWire | GivenRun
OF_WIRE = ("length_m", "copper_g", "wire_g", "factor")
FIGURES = {
    Totals: tuple(f.name for f in fields(Totals)),
    Feed: (*OF_WIRE, "drop_percent"),
    PlacedWire: OF_WIRE,
    GivenRun: OF_WIRE,
}


def _all(label: str, said: Stated, right: Stated | None, by_hand: bool) -> Iterator[Breach]:
    if right is None:
        return
    for name in FIGURES[type(said)]:
        # a layout made by hand that states no factor means 1
        if name != "factor" or not by_hand or getattr(said, name) != 1.0:
            yield from _differ(label, name, getattr(said, name), getattr(right, name))


def _differ(label: str, name: str, stated: float | None, right: float | None) -> Iterator[Breach]:
    """A stated figure against the recomputed one; what cannot be recomputed is broken elsewhere already."""
    if stated is None or right is None or isclose(stated, right, rel_tol=1e-9, abs_tol=ROUNDED * (1 + 1e-9)):
        return
    ending, unit = next((pair for pair in UNITS.items() if name.endswith(pair[0])), ("", ""))
    what = name.removesuffix(ending).replace("_", " ")
    said, own = f"{number(stated)} {unit}".strip(), f"{number(right)} {unit}".strip()
    yield Breach(label, abs(stated - right), unit, f"{label} states {what} {said}, recomputed {own}")
