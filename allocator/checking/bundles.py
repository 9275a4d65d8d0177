"""Rules on what lies together in a segment: the bundle of its wires, the cables beside it."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.checking.report import Breach, number
from allocator.evaluation.bundle_figures import bundles_of
from allocator.evaluation.context import Context
from allocator.evaluation.segment_lines import by_segment
from allocator.evaluation.tolerance import excess
from allocator.problem import Bundling
from allocator.wiring import surroundings_of
from allocator.wiring.bundle_heat import beside_cable_a


def bundle_warmth(context: Context) -> Iterator[Breach]:
    """``sum r I^2`` with one wire at its trip stays below what a bundle may give (`allocator.wiring.bundle_heat`)."""
    if context.problem.margins.bundle is not Bundling.HEAT:
        return
    for bundle in bundles_of(context):
        one = bundle.warmest
        if one is not None and one.share > 1.0 + WARM_TOLERANCE:
            over = one.heat_w_m + one.worst_w_m - one.allowed_w_m
            text = (
                f"bundle {bundle.name} in condition {one.condition}: {number(over)} W/m over {number(one.allowed_w_m)} "
                f"W/m; its hottest wire is {one.hottest}"
            )
            yield Breach(f"segment {bundle.name}", over, "W/m", text)


WARM_TOLERANCE = 2e-6
"""Share by which rounding may pass the heat allowed."""


def beside_cable(context: Context) -> Iterator[Breach]:
    """``trip <= 0.825 ampacity`` at the class and ambient of a segment, for a wire with a cable beside it."""
    if context.problem.margins.bundle is not Bundling.HEAT:
        return
    for segment, laid in by_segment(context):
        around = surroundings_of(context.problem, segment)
        if around is None or not any(one.beside for one in laid):
            continue
        for one in laid:
            row = one.conductor.row
            if one.beside or row is None:
                continue
            bears = beside_cable_a(row, around)
            over = excess(one.guard_a, bears)
            if over > 0.0:
                name = context.problem.segments[segment].name
                text = (
                    f"{one.conductor.label} of {row.size} carries {number(bears)} A beside the cable in {name}, "
                    f"{number(over)} A less than the {number(one.guard_a)} A that protects it"
                )
                yield Breach(one.conductor.label, over, "A", text)


def stated_wires(context: Context) -> Iterator[Breach]:
    """No segment holds more wires than are stated for it."""
    if context.problem.margins.bundle is not Bundling.TABLE:
        return
    for bundle in bundles_of(context):
        most, _ = context.problem.stated_of(context.problem.segments[bundle.segment])
        if bundle.wires > most:
            text = f"bundle {bundle.name} has {bundle.wires} wires, {bundle.wires - most} more than the {most} stated"
            yield Breach(f"segment {bundle.name}", bundle.wires - most, "wires", text)


def stated_loading(context: Context) -> Iterator[Breach]:
    """In no condition do the wires of a segment carry more than the stated share of all their ampacities."""
    if context.problem.margins.bundle is not Bundling.TABLE:
        return
    for bundle in bundles_of(context):
        most, loading = context.problem.stated_of(context.problem.segments[bundle.segment])
        condition, found = bundle.fullest
        over = found - loading
        if most > 1 and over > WARM_TOLERANCE * loading:
            text = (
                f"bundle {bundle.name} is loaded to {_percent(found)} in condition {condition}, {_percent(over)} over "
                f"the {_percent(loading)} stated"
            )
            yield Breach(f"segment {bundle.name}", over, "of the ampacity", text)


def _percent(share: float) -> str:
    return f"{number(100.0 * share)} %"
