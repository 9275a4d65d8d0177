"""The parts of a result in reading order."""

from __future__ import annotations

from allocator.advising.infeasibility import Infeasibility
from allocator.checking.context import Context
from allocator.checking.prepare import prepare
from allocator.layout import INFEASIBLE, Layout
from allocator.problem import Problem
from allocator.showing import ways
from allocator.showing.beside import beside
from allocator.showing.blocks import Block, Heading
from allocator.showing.bundled import bundled
from allocator.showing.cautions import cautions
from allocator.showing.cutting import cutting
from allocator.showing.labels import labels_of
from allocator.showing.outputs import outputs
from allocator.showing.proof import no_layout, proof
from allocator.showing.sums import DEFAULTS_SHOWN, currents, defaults, energy, totals
from allocator.showing.weak_points import weak_points


def whole(
    problem: Problem, layout: Layout, *, in_full: bool = False, context: Context | None = None
) -> tuple[Block, ...]:
    """A layout as it is read at the bench: outputs first, then its sums and weak points, proof and cautions last.

    ``in_full`` lists the wires to cut and every default too; ``context`` is that of the layout, where it is at hand.
    """
    context = prepare(problem, layout) if context is None else context
    return (
        Heading(f"{problem.name}: {layout.status}"),
        *outputs(problem, layout),
        *totals(layout),
        *currents(problem, layout),
        *bundled(context, in_full=in_full),
        *weak_points(context),
        *energy(problem, layout),
        *(cutting(layout, beside(context, labels_of(context.layout))) if in_full else ()),
        *defaults(layout, None if in_full else DEFAULTS_SHOWN),
        Heading("Proof"),
        *proof(layout),
        *cautions(problem),
    )


def without(problem: Problem, layout: Layout, found: Infeasibility | None) -> tuple[Block, ...]:
    """What is known when there is no layout to show; where there can be none, why, and ways out as far as known."""
    head = Heading(f"{problem.name}: {layout.status}")
    if layout.status != INFEASIBLE:
        return (head, *no_layout(layout), *(() if found is None else ways.why(found)))
    return (head, *proof(layout), *(ways.UNKNOWN if found is None else ways.why(found)))
