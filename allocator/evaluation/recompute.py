"""The figures of a layout, recomputed from its decisions."""

from __future__ import annotations

from dataclasses import replace
from math import fsum
from typing import Any

from allocator.evaluation.branches import Branch, Direct, Fed, Given, Mounted
from allocator.evaluation.context import Context
from allocator.evaluation.laid_conductors import Conductor
from allocator.evaluation.resolved_circuits import drops_v
from allocator.layout import Circuit, DirectCircuit, FittedUnit, GivenRun, Layout, PlacedWire, Totals
from allocator.once import once

NOTHING: dict[str, Any] = {"length_m": None, "copper_g": None, "wire_g": None}


@once
def recomputed(context: Context) -> Layout:
    """The completed layout, every figure recomputed; None where its decisions name nothing that exists."""
    units = tuple(_unit(context, unit) for unit in context.layout.units)
    layout = replace(
        context.layout,
        units=units,
        circuits=tuple(_circuit(context, fed) for fed in context.circuits),
        direct=tuple(_direct(context, direct) for direct in context.direct),
        given=tuple(_given(given) for given in context.given),
    )
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
            factor=conductor.factor,
        )
    return replace(unit, current_a=currents, feed=feed)


def _circuit(context: Context, fed: Fed) -> Circuit:
    return replace(
        fed.circuit,
        current_a=fed.current_a,
        drop_percent=_percent(context, _worst_v(context, fed)),
        wires=_wires(fed),
    )


def _direct(context: Context, direct: Direct) -> DirectCircuit:
    return replace(
        direct.circuit,
        current_a=direct.current_a,
        drop_percent=_percent(context, _worst_v(context, direct)),
        wires=_wires(direct),
    )


def _given(given: Given) -> GivenRun:
    """Length of one core, masses of all; a wire that the problem does not give has none."""
    core = given.conductor
    if core is None or given.wire is None:
        return replace(given.run, **NOTHING)
    cores = given.wire.cores
    return replace(
        given.run,
        length_m=core.length_m,
        copper_g=None if core.copper_g is None else cores * core.copper_g,
        wire_g=None if core.wire_g is None else cores * core.wire_g,
        factor=core.factor,
    )


def _worst_v(context: Context, branch: Branch) -> float | None:
    """The branch drop of the load that loses most; None where one is not known."""
    drops = drops_v(branch, context.problem.margins.splice_wires).values()
    known = [drop for drop in drops if drop is not None]
    return max(known, default=None) if len(known) == len(drops) else None


def _wires(branch: Branch) -> tuple[PlacedWire, ...]:
    if not branch.conductors:
        return tuple(replace(wire, **NOTHING) for wire in branch.wires)
    return tuple(_wire(branch.wires[n], conductor) for n, conductor in branch.pairs())


def _wire(wire: PlacedWire, conductor: Conductor) -> PlacedWire:
    return replace(
        wire,
        length_m=conductor.length_m,
        copper_g=conductor.copper_g,
        wire_g=conductor.wire_g,
        factor=conductor.factor,
    )


def _percent(context: Context, drop_v: float | None) -> float | None:
    return None if drop_v is None else 100.0 * drop_v / context.problem.running_v


def _totals(context: Context, layout: Layout) -> Totals:
    """Sums over what could be recomputed; what is not of the problem counts for nothing.

    Wires of direct loads and the cores of given wires count as those of circuits do.
    """
    wires = [wire for circuit in layout.circuits for wire in circuit.wires]
    wires += [wire for direct in layout.direct for wire in direct.wires]
    feeds = [unit.feed for unit in layout.units if unit.feed is not None]
    runs = list(zip(context.given, layout.given, strict=True))
    cores_m = fsum(given.wire.cores * (run.length_m or 0.0) for given, run in runs if given.wire is not None)
    given_g = [run.copper_g or 0.0 for run in layout.given]
    branch_g = fsum([*(wire.copper_g or 0.0 for wire in wires), *given_g])
    feed_g = fsum(feed.copper_g or 0.0 for feed in feeds)
    finished_g = [run.wire_g or 0.0 for run in layout.given]
    finished_g += [wire.wire_g or 0.0 for wire in wires] + [feed.wire_g or 0.0 for feed in feeds]
    lengths_m = [wire.length_m or 0.0 for wire in wires] + [feed.length_m or 0.0 for feed in feeds]
    has, used, spare = 0, 0, 0
    for mounted in context.mounted.values():
        has += sum(len(one.pins) for one in mounted.type.outputs)
        used += len(_pins_used(context, mounted))
        spare += sum(count for _, _, count in mounted.stated.spare)
    return Totals(
        copper_g=round(branch_g + feed_g, 3),
        branch_copper_g=round(branch_g, 3),
        feed_copper_g=round(feed_g, 3),
        wire_g=round(fsum(finished_g), 3),
        length_m=round(fsum(lengths_m) + cores_m, 6),
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
