"""A layout made by hand, completed and measured."""

from __future__ import annotations

from allocator.evaluation.contact_numbering import numbered
from allocator.evaluation.prepare import prepare
from allocator.evaluation.recompute import recomputed
from allocator.layout import Layout
from allocator.problem import Problem


def complete(problem: Problem, layout: Layout) -> Layout:
    """A layout made by hand with what it leaves out, and all figures recomputed.

    Filled in are: one size for all wires of a circuit (a wire of role ``any``), returns, shortest routes, the
    shortest tree of a shared output, lowest insulation class, least trip, class and bank of the pins,
    contacts with their numbers, the lightest feed that serves and its fuse, spare outputs, the source, fuse and
    wires of a direct load (in the lightest one size that serves), given wires, and the bundle loading of the problem.
    """
    return numbered(problem, recomputed(prepare(problem, layout)))
