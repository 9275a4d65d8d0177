"""What is shown of a thing that is pointed at in the plan view: a few facts, its wires, its routes."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from allocator.evaluation.bundle_figures import Bundle
from allocator.evaluation.context import Context
from allocator.evaluation.network_volts import LoadVolts
from allocator.layout import FittedUnit, Layout
from allocator.problem import Bundling, Problem
from allocator.reporting.blocks import counted, number, short
from allocator.reporting.bundled import use
from allocator.reporting.loaded import USED, LoadedOutput
from allocator.reporting.outputs import feed_line
from allocator.reporting.records import Record
from allocator.reporting.runs import Stretch, fed_by, feeds_of, fused_at, runs_of
from allocator.table import Row, Table, count, figure, table_of, text

Facts = tuple[tuple[str, str], ...]

_WIRES = (
    text("wire", key="label"), text("does", key="role"), text("route"), text("size"), figure("", "m", key="length_m"),
)  # fmt: skip
_OUTPUTS = (text("pin"), text("class"), text("feeds"), figure("full", "A"), figure("trip", "A", significant=10))
_CONTACTS = (text("contacts for"), count("taken"), count("of"))


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """One thing: ``label`` is how it is called aloud, ``listed`` a small table, ``runs`` its ways."""

    id: str
    kind: str
    name: str
    label: str
    facts: Facts
    listed: Table | None = None
    runs: str = "[]"
    link: str = ""


def details(
    context: Context,
    layout: Layout,
    found: Sequence[Stretch],
    outputs: Sequence[LoadedOutput],
    volts: Sequence[LoadVolts],
    wires: Sequence[Record],
) -> tuple[About, ...]:
    """Loads, units, sources, stretches and bulkheads, in this order.

    Parameters
    ----------
    context
        The evaluated layout.
    layout
        The layout.
    found
        The stretches of harness.
    outputs
        The outputs with what they carry.
    volts
        The voltage at each load.
    wires
        The wires to cut, as records.
    """
    problem = context.problem
    return (
        *_loads(problem, layout, volts, wires),
        *_units(problem, layout, outputs),
        *_sources(problem, layout),
        *_stretches(problem, found),
        *_bulkheads(problem, layout, found),
    )


def _loads(problem: Problem, layout: Layout, volts: Sequence[LoadVolts], wires: Sequence[Record]) -> Iterator[About]:
    by = fed_by(problem, layout)
    worst: dict[str, LoadVolts] = {}
    for one in volts:
        if one.load not in worst or one.volts_v < worst[one.load].volts_v:
            worst[one.load] = one
    circuits = {load: circuit for circuit in layout.circuits for load in circuit.loads}
    direct = {one.load: one for one in layout.direct}
    for n, load in enumerate(problem.loads):
        fed = by.get(load.name, "nothing")
        facts = [("at", load.place), ("fed by", fed), ("draws", f"{number(load.full_current_a)} A at most")]
        named = load.name
        if load.name in circuits:
            circuit = circuits[load.name]
            named = circuit.name
            facts += [("output", ", ".join(circuit.pins)), ("trip", f"{short(circuit.trip_a)} A")]
            others = [name for name in circuit.loads if name != load.name]
            facts += [("shares with", ", ".join(others))] if others else []
        elif load.name in direct:
            facts.append(("fuse", f"{short(direct[load.name].fuse_a)} A"))
        if load.name in worst:
            low = worst[load.name]
            facts.append(("least volts", f"{number(low.volts_v)} V in {low.condition}, {number(low.drop_v, 3)} V lost"))
        own = [one for one in wires if one["circuit"] == named and _carries(one, load.name)]
        runs = json.dumps([[run.role, run.route] for run in runs_of(layout, load.name)])
        yield About(
            id=f"load-{n}",
            kind="load",
            name=load.name,
            label=f"load {load.name} at {load.place}, fed by {fed}",
            facts=tuple(facts),
            listed=table_of(_WIRES, own),
            runs=runs,
        )


def _carries(wire: Record, load: str) -> bool:
    loads = f"{wire['loads'] or ''}"
    return not loads or load in loads.split("; ")


def _units(problem: Problem, layout: Layout, outputs: Sequence[LoadedOutput]) -> Iterator[About]:
    fitted = {unit.name: unit for unit in layout.units}
    for n, unit in enumerate(problem.units):
        if unit.name in fitted:
            own = [one for one in outputs if one.unit == unit.name]
            yield About(
                id=f"unit-{n}",
                kind="unit",
                name=unit.name,
                label=f"unit {unit.name} at {fitted[unit.name].site}, {counted(len(own), 'output')}",
                facts=_unit_facts(fitted[unit.name], unit.type, unit.source, own),
                listed=Table(columns=_OUTPUTS, rows=tuple(map(_output, own))),
                runs=json.dumps([[run.role, run.route] for run in feeds_of(layout, unit.name)]),
                link=f"outputs-{n}",
            )


def _output(one: LoadedOutput) -> Row:
    return one.pin, one.output_class, one.feeds or f"({one.state})", one.full_a or None, one.trip_a


def _unit_facts(fitted: FittedUnit, type_: str, source: str, own: Sequence[LoadedOutput]) -> Facts:
    used = sum(one.state == USED for one in own)
    currents = ", ".join(f"{number(current, 1)} A {condition}" for condition, current in fitted.current_a)
    return (
        ("type", type_),
        ("at", fitted.site),
        ("outputs", f"{used} of {len(own)} used"),
        ("feed", feed_line(fitted, source)),
        ("current", currents),
    )


def _sources(problem: Problem, layout: Layout) -> Iterator[About]:
    fused = fused_at(problem, layout)
    for n, source in enumerate(problem.sources):
        units = [unit.name for unit in layout.units if unit.name in problem.unit]
        units = [name for name in units if problem.unit[name].source == source.name]
        direct = [load for load, at in fused.items() if at == source.name]
        yield About(
            id=f"source-{n}",
            kind="source",
            name=source.name,
            label=f"source {source.name} at {source.place}",
            facts=(
                ("at", source.place),
                ("capacity", "not given" if source.capacity_ah is None else f"{short(source.capacity_ah)} Ah"),
                ("feeds units", ", ".join(units) or "none"),
                ("fused here", ", ".join(direct) or "nothing"),
            ),
            runs=json.dumps([[run.role, run.route] for name in units for run in feeds_of(layout, name)]),
        )


def _stretches(problem: Problem, found: Sequence[Stretch]) -> Iterator[About]:
    for n, one in enumerate(found):
        facts = [*_lying(one), ("copper", f"{number(one.copper_g_m, 1)} g in each metre")]
        if one.length_m is not None:
            facts.insert(0, ("length", f"{number(one.length_m)} m"))
        if one.bundle is not None:
            facts += _of_bundle(problem, one.bundle)
        facts += [("bulkhead", one.bulkhead)] if one.bulkhead else []
        yield About(id=f"stretch-{n}", kind="stretch", name=one.name, label=f"stretch {one.name}", facts=tuple(facts))


def _lying(one: Stretch) -> Iterator[tuple[str, str]]:
    """What lies in a stretch: in the bundle and beside it, where the check knows of a bundle there."""
    if one.bundle is None:
        yield "wires", f"{one.wires}"
        return
    yield "wires in the bundle", f"{one.bundle.wires}"
    if one.bundle.cables:
        yield "cables beside", f"{one.bundle.cables}"


def _of_bundle(problem: Problem, bundle: Bundle) -> Iterator[tuple[str, str]]:
    """How thick a bundle is and how warm it gets, or how far its wires are loaded where bundles do not go by heat."""
    if bundle.wires:
        yield "diameter", f"{number(bundle.diameter_mm, 1)} mm"
    if problem.margins.bundle is Bundling.NONE:
        yield "heat of the bundle", "left out"
    warmest = bundle.warmest
    if warmest is not None:
        heat, allowed = number(warmest.heat_w_m + warmest.worst_w_m, 1), number(warmest.allowed_w_m, 1)
        yield "heat", f"{heat} of {allowed} W/m, {use(warmest)}, in {warmest.condition}"
        yield "hottest wire", warmest.hottest
    elif bundle.wires:
        condition, loading = bundle.fullest
        yield "loading", f"{number(100.0 * loading, 0)} % of what its wires carry, in {condition}"


def _bulkheads(problem: Problem, layout: Layout, found: Sequence[Stretch]) -> Iterator[About]:
    wires = [wire for circuit in layout.circuits for wire in circuit.wires]
    wires += [wire for direct in layout.direct for wire in direct.wires]
    contacts = [contact for wire in wires for contact in wire.contacts]
    contacts += [contact for given in layout.given for contact in given.contacts]
    for n, bulkhead in enumerate(problem.bulkheads):
        taken = [contact.set for contact in contacts if contact.bulkhead == bulkhead.name]
        rows = tuple(
            (f"{alike.wire_mm2[0]:g} to {alike.wire_mm2[1]:g} mm2", taken.count(k), alike.count)
            for k, alike in enumerate(bulkhead.contacts)
        )
        yield About(
            id=f"bulkhead-{n}",
            kind="bulkhead",
            name=bulkhead.name,
            label=f"bulkhead {bulkhead.name}",
            facts=(
                ("kind", bulkhead.kind),
                ("between", ", ".join(one.name for one in found if one.bulkhead == bulkhead.name)),
                ("feeds may cross", f"{bulkhead.studs}"),
            ),
            listed=Table(columns=_CONTACTS, rows=rows),
        )
