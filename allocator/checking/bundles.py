"""The bundles of a layout, for showing."""

from __future__ import annotations

from allocator.checking.loading import Bundle, bundles_of
from allocator.checking.prepare import prepare
from allocator.layout import Layout
from allocator.problem import Problem

__all__ = ["Bundle", "bundles"]


def bundles(problem: Problem, layout: Layout) -> tuple[Bundle, ...]:
    """What lies together in each segment of a layout: wires, loading in each condition, diameter.

    Everything follows from the routes and sizes of the layout, as in the check; it is never read from what the
    layout states. Where bundles do not count in the problem, ampacities in the loading are those in free air.

    Returns
    -------
    tuple of Bundle
        In the order of the problem's segments, those without any wire left out; none where there are no
        segments.
    """
    return bundles_of(prepare(problem, layout))
