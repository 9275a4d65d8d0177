"""The figures of a layout, recomputed from its decisions."""

from __future__ import annotations

from dataclasses import replace
from math import fsum
from typing import Any

from allocator.checking.circuits import drops_v
from allocator.checking.conductors import Conductor
from allocator.checking.context import Context, Fed, Mounted
from allocator.layout import Circuit, FittedUnit, Layout, PlacedWire, Totals

NOTHING: dict[str, Any] = {"length_m": None, "copper_g": None, "wire_g": None}


def recomputed(context: Context) -> Layout:
    """The completed layout, every figure recomputed; None where its decisions name nothing that exists."""
    units = tuple(_unit(context, unit) for unit in context.layout.units)
    circuits = tuple(_circuit(context, fed) for fed in context.circuits)
    layout = replace(context.layout, units=units, circuits=circuits)
    totals = _totals(context, layout)
    objective = _objective_g(context, totals)
    return replace(layout, totals=totals, objective_g=objective, gap=gap(objective, layout.bound_g))


def gap(objective_g: float, bound_g: float | None) -> float | None:
    """``(objective - bound) / objective``; None without a bound, 0 where both are 0."""
    if bound_g is None:
        return None
    if objective_g == 0.0:
        return 0.0 if bound_g == 0.0 else None
    return (objective_g - bound_g) / objective_g


def _unit(context: Context, unit: FittedUnit) -> FittedUnit:
    mounted = context.mounted.get(unit.name)
    if mounted is None or mounted.stated is not unit:
        return replace(unit, current_a=(), feed=None if unit.feed is None else replace(unit.feed, **NOTHING))
    circuits = context.on_unit(unit.name)
    conditions = enumerate(context.problem.conditions)
    currents = tuple((name, context.heating_a(circuits, m)) for m, name in conditions)
    feed = unit.feed
    if feed is not None:
        conductor = context.feeds[unit.name]
        feed = replace(
            feed,
            length_m=conductor.length_m,
            copper_g=conductor.copper_g,
            wire_g=conductor.wire_g,
            drop_percent=_percent(context, conductor.drop_v),
            factor=1.0,
        )
    return replace(unit, current_a=currents, feed=feed)


def _circuit(context: Context, fed: Fed) -> Circuit:
    drops = drops_v(fed, context.problem.margins.splice_wires).values()
    known = [drop for drop in drops if drop is not None]
    worst = max(known, default=None) if len(known) == len(drops) else None
    wires = tuple(_wire(fed.circuit.wires[n], conductor) for n, conductor in fed.pairs())
    if not fed.conductors:
        wires = tuple(replace(wire, **NOTHING) for wire in fed.circuit.wires)
    return replace(
        fed.circuit,
        current_a=fed.current_a,
        drop_percent=_percent(context, worst),
        wires=wires,
    )


def _wire(wire: PlacedWire, conductor: Conductor) -> PlacedWire:
    return replace(
        wire,
        length_m=conductor.length_m,
        copper_g=conductor.copper_g,
        wire_g=conductor.wire_g,
        factor=1.0,
    )


def _percent(context: Context, drop_v: float | None) -> float | None:
    return None if drop_v is None else 100.0 * drop_v / context.problem.running_v


def _totals(context: Context, layout: Layout) -> Totals:
    """Sums over what could be recomputed; a unit that is not of the problem counts for nothing."""
    wires = [wire for circuit in layout.circuits for wire in circuit.wires]
    feeds = [unit.feed for unit in layout.units if unit.feed is not None]
    branch_g, feed_g = fsum(w.copper_g or 0.0 for w in wires), fsum(f.copper_g or 0.0 for f in feeds)
    has, used, spare = 0, 0, 0
    for mounted in context.mounted.values():
        has += sum(len(one.pins) for one in mounted.type.outputs)
        used += len(_pins_used(context, mounted))
        spare += sum(count for _, _, count in mounted.stated.spare)
    return Totals(
        copper_g=round(branch_g + feed_g, 3),
        branch_copper_g=round(branch_g, 3),
        feed_copper_g=round(feed_g, 3),
        wire_g=round(fsum(w.wire_g or 0.0 for w in wires) + fsum(f.wire_g or 0.0 for f in feeds), 3),
        length_m=round(fsum(w.length_m or 0.0 for w in wires) + fsum(f.length_m or 0.0 for f in feeds), 6),
        outputs_used=used,
        outputs_spare=spare,
        outputs_unused=has - used - spare,
        units_fitted=len(context.mounted),
        splices=sum(splice.count for circuit in layout.circuits for splice in circuit.splices),
    )


def _pins_used(context: Context, mounted: Mounted) -> set[str]:
    own = {pin for one in mounted.type.outputs for pin in one.pins}
    return {pin for fed in context.on_unit(mounted.name) for pin in fed.circuit.pins} & own


def _objective_g(context: Context, totals: Totals) -> float:
    """Copper, plus what each used and unused output, each splice and each fitted unit is worth, in g to 1e-6."""
    prices = context.problem.prices
    return round(
        totals.copper_g
        + prices.used_output_g * totals.outputs_used
        + prices.unused_output_g * totals.outputs_unused
        + prices.unit_mass * sum(mounted.type.mass_g for mounted in context.mounted.values())
        + prices.splice_g * totals.splices,
        6,
    )
