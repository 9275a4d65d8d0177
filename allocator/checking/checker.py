"""Check a layout; complete one made by hand."""

from __future__ import annotations

from allocator.checking.contact_numbers import numbered
from allocator.checking.prepare import prepare
from allocator.checking.recompute import recomputed
from allocator.checking.registry import RULES
from allocator.checking.report import Report, Violation
from allocator.layout import Layout
from allocator.problem import Problem


def check(problem: Problem, layout: Layout) -> Report:
    """Hold a layout against every rule of a problem.

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
    return Report(violations=violations, layout=numbered(problem, recomputed(context)))


def complete(problem: Problem, layout: Layout) -> Layout:
    """A layout made by hand with what it leaves out, and all figures recomputed.

    Filled in are: one size for all wires of a circuit (a wire of role ``any``), returns, shortest routes, the
    shortest tree of a shared output, lowest insulation class, least trip, class and bank of the pins,
    contacts with their numbers, the lightest feed that serves and its fuse, spare outputs, the source, fuse and
    wires of a direct load (in the lightest one size that serves), given wires, and the bundle loading of the problem.
    """
    return numbered(problem, recomputed(prepare(problem, layout)))
