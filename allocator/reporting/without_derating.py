"""Which cables lie tied beside a bundle of wires, and not in it."""

from __future__ import annotations

from allocator.evaluation.bundle_figures import bundles_of
from allocator.evaluation.context import Context
from allocator.reporting.labels import Labels
from allocator.reporting.whole_wires import wires_of

BESIDE = "beside the bundle"


def beside(context: Context, labels: Labels) -> frozenset[str]:
    """Labels of the cables that pass a segment with a bundle of wires which they lie beside."""
    bundled = {bundle.segment for bundle in bundles_of(context) if bundle.wires}
    return frozenset(
        wire.label
        for wire in wires_of(context, labels)
        if wire.conductor is not None
        and wire.conductor.route is not None
        and context.problem.lies_beside(wire.conductor.line)
        and not bundled.isdisjoint(wire.conductor.route.segments)
    )
