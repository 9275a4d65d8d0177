"""Check a layout against every rule."""

from __future__ import annotations

from allocator.checking.registry import RULES
from allocator.checking.report import Report, Violation
from allocator.evaluation.contact_numbering import numbered
from allocator.evaluation.prepare import prepare
from allocator.evaluation.recompute import recomputed
from allocator.layout import Layout
from allocator.problem import Problem


def check(problem: Problem, layout: Layout) -> Report:
    """Check a layout against every rule of a problem.

    Everything is recomputed from the problem and the decisions of the layout: sites, pins, trips, wire sizes,
    routes, contacts, splices, feeds and fuses. What it states beyond those is compared, never used. Decisions
    that a layout made by hand leaves out are filled in first, as by `complete`; any other states them all.

    Returns
    -------
    Report
        Violations in the order of the rules, each with an amount and a unit, and the completed layout. A
        layout that names what the problem does not have breaks rules; it never raises.
    """
    context = prepare(problem, layout)
    violations = tuple(
        Violation(rule=name, object=object_, amount=float(amount), unit=unit, text=text)
        for name, rule in RULES.items()
        for object_, amount, unit, text in rule(context)
    )
    return Report(violations=violations, layout=numbered(problem, recomputed(context)), stated=context)
