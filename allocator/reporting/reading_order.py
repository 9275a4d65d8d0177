"""The parts of a result in reading order."""

from __future__ import annotations

from allocator.evaluation.context import Context
from allocator.evaluation.prepare import prepare
from allocator.infeasibility.why_not import Infeasibility
from allocator.layout import INFEASIBLE, Layout
from allocator.problem import Problem
from allocator.reporting import infeasibility_report
from allocator.reporting.blocks import Block, Heading
from allocator.reporting.bundled import bundled
from allocator.reporting.cautions import cautions
from allocator.reporting.cutting import cutting
from allocator.reporting.labels import labels_of
from allocator.reporting.outputs import outputs
from allocator.reporting.proof import TITLES, no_layout, proof
from allocator.reporting.totals import DEFAULTS_SHOWN, currents, defaults, energy, totals
from allocator.reporting.weak_points import weak_points
from allocator.reporting.without_derating import beside


def whole(
    problem: Problem, layout: Layout, *, in_full: bool = False, context: Context | None = None
) -> tuple[Block, ...]:
    """A layout as it is read at the bench: outputs first, then its sums and weak points, proof and cautions last.

    Parameters
    ----------
    problem
        The problem.
    layout
        A layout of it.
    in_full
        With the wires to cut and every default.
    context
        What the layout's decisions come to; None: it is worked out.
    """
    context = prepare(problem, layout) if context is None else context
    return (
        Heading(f"{problem.name}: {TITLES.get(layout.status, layout.status)}"),
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
    head = Heading(f"{problem.name}: {TITLES.get(layout.status, layout.status)}")
    if layout.status != INFEASIBLE:
        return (head, *no_layout(layout), *(() if found is None else infeasibility_report.why(found)))
    return (head, *proof(layout), *(infeasibility_report.UNKNOWN if found is None else infeasibility_report.why(found)))
