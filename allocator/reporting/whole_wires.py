"""Every wire of a completed layout, whole: what it joins, its way, size, length, protector and contacts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from allocator.evaluation.branches import Branch, Fed
from allocator.evaluation.context import Context
from allocator.evaluation.laid_conductors import Conductor
from allocator.evaluation.mounted_units import run_of
from allocator.layout import Contact, PlacedWire
from allocator.problem import SOURCE, Problem
from allocator.reporting.labels import PIECES, Labels

BRANCH, FEED, GIVEN = "branch", "feed", "given"


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeWire:
    """One wire from end to end. ``ends`` holds what it joins and the pin there; ``guard_a`` is what it sits behind.

    ``circuit`` is the number of its circuit in the layout. ``measured``: no tail is known of, its length was measured.
    """

    label: str
    use: str
    role: str
    ends: tuple[tuple[str, str], tuple[str, str]]
    route: tuple[str, ...]
    size: str
    insulation_c: float | None
    length_m: float | None
    copper_g: float | None
    wire_g: float | None
    guard_a: float | None
    conductor: Conductor | None
    contacts: tuple[Contact, ...] = ()
    loads: tuple[str, ...] = ()
    circuit: int | None = None
    given: str = ""
    measured: bool = False


def wires_of(context: Context, labels: Labels) -> Iterator[WholeWire]:
    """Every wire: circuits, direct loads, feeds, cores of given wires."""
    yield from _circuits(context, labels)
    yield from _direct(context, labels)
    yield from _feeds(context, labels)
    yield from _given(context, labels)


def _circuits(context: Context, labels: Labels) -> Iterator[WholeWire]:
    for i, (fed, own) in enumerate(zip(context.circuits, labels.circuits, strict=True)):
        pins = {f"{fed.circuit.unit} {pin}": pin for pin in fed.circuit.pins}
        for n, wire in enumerate(fed.wires):
            pin = pins.get(own[n], "")
            at_unit = pin or wire.role not in PIECES
            origin = f"unit {fed.circuit.unit}" if at_unit else f"splice at {wire.start}"
            yield _placed(context, fed, n, own[n], (origin, pin), i)


def _direct(context: Context, labels: Labels) -> Iterator[WholeWire]:
    for direct, own in zip(context.direct, labels.direct, strict=True):
        for n in range(len(direct.wires)):
            yield _placed(context, direct, n, own[n], (f"source {direct.circuit.source}", ""), None)


def _placed(
    context: Context, branch: Branch, n: int, label: str, origin: tuple[str, str], circuit: int | None
) -> WholeWire:
    wire = branch.wires[n]
    conductor = branch.conductors[n] if branch.conductors else None
    back = wire.role == "return"
    loads = wire.loads or tuple(load.name for load in branch.loads)
    at_load = " + ".join(loads) or wire.end
    return WholeWire(
        label=label,
        use=BRANCH,
        role=wire.role,
        ends=((at_load, ""), (_return_point(context, branch, wire), "")) if back else (origin, _far_end(wire, at_load)),
        route=wire.route,
        size=wire.size,
        insulation_c=wire.insulation_c,
        length_m=wire.length_m,
        copper_g=wire.copper_g,
        wire_g=wire.wire_g,
        guard_a=conductor.guard_a if conductor is not None else branch.guard_a,
        conductor=conductor,
        contacts=wire.contacts,
        loads=loads,
        circuit=circuit,
        measured=not back and _measured(context.problem, branch),
    )


def _far_end(wire: PlacedWire, at_load: str) -> tuple[str, str]:
    return (f"splice at {wire.end}", "") if wire.role == "trunk" else (at_load, "")


def _measured(problem: Problem, branch: Branch) -> bool:
    return isinstance(branch, Fed) and any(run_of(problem, load, branch.site or "") for load in branch.loads)


def _return_point(context: Context, branch: Branch, wire: PlacedWire) -> str:
    """What a return ends at: the source's minus, a stud, or the chassis."""
    to = {load.return_to for load in branch.loads if not wire.loads or load.name in wire.loads}
    if to == {SOURCE}:
        return f"minus of {branch.source.name}" if branch.source is not None else "minus of its source"
    place = context.problem.place.get(wire.end)
    if place is not None and place.stud_a is not None:
        return f"stud at {place.name}"
    return f"ground at {wire.end}"


def _feeds(context: Context, labels: Labels) -> Iterator[WholeWire]:
    for unit in context.layout.units:
        feed = unit.feed
        if feed is None:
            continue
        mounted = context.mounted.get(unit.name)
        source = mounted.source if mounted is not None else None
        yield WholeWire(
            label=labels.feeds[unit.name],
            use=FEED,
            role=FEED,
            ends=((f"source {source.name}" if source is not None else "", ""), (f"unit {unit.name}", "")),
            route=feed.route,
            size=feed.size,
            insulation_c=feed.insulation_c,
            length_m=feed.length_m,
            copper_g=feed.copper_g,
            wire_g=feed.wire_g,
            guard_a=feed.fuse_a,
            conductor=context.feeds.get(unit.name),
        )


def _given(context: Context, labels: Labels) -> Iterator[WholeWire]:
    for given, own in zip(context.given, labels.given, strict=True):
        run, conductor = given.run, given.conductor
        crossed = conductor.route.bulkheads if conductor is not None and conductor.route is not None else ()
        left = list(run.contacts)
        for label in own:
            contacts = tuple(taken for name in crossed for taken in _take(left, name))
            yield WholeWire(
                label=label,
                use=GIVEN,
                role=GIVEN,
                ends=((run.route[0], ""), (run.route[-1], "")) if run.route else (("", ""), ("", "")),
                route=run.route,
                size=run.size,
                insulation_c=run.insulation_c,
                length_m=run.length_m,
                copper_g=None if run.copper_g is None else run.copper_g / len(own),
                wire_g=None if run.wire_g is None else run.wire_g / len(own),
                guard_a=None,
                conductor=conductor,
                contacts=contacts,
                given=run.wire,
            )


def _take(left: list[Contact], bulkhead: str) -> Iterator[Contact]:
    """The next contact of a bulkhead, taken out of what is left; none where there is none."""
    for n, contact in enumerate(left):
        if contact.bulkhead == bulkhead:
            yield left.pop(n)
            return
