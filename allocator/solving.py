"""The whole way: price, choose, pin, assemble, check."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace

from allocator.assembling import assemble
from allocator.checking import Report, check
from allocator.choosing import Progress, choose
from allocator.layout import Layout
from allocator.pricing import Pricing, price
from allocator.problem import Problem
from allocator.starting import choice_from

__all__ = ["InternalError", "Progress", "solve", "solve_priced"]


class InternalError(RuntimeError):
    """A layout of the engine's own that the independent check refuses: a bug, never an answer."""

    def __init__(self, report: Report):
        self.report = report
        found = "\n".join(f"  {violation.text}" for violation in report.violations[:5])
        super().__init__(f"the engine's layout fails its own check ({len(report.violations)} violations):\n{found}")


def solve(
    problem: Problem,
    *,
    time_limit_s: float | None = None,
    gap: float = 0.0,
    start: Layout | None = None,
    progress: Callable[[Progress], None] | None = None,
) -> Layout:
    """The best layout of a problem, with what is proven about it.

    Parameters
    ----------
    time_limit_s
        Seconds for pricing and solving together; None for no limit.
    gap
        Relative gap at which to stop; 0 for a full proof.
    start
        A layout to begin from. Where it is no longer possible as a whole it is left aside.
    progress
        Called about twice a second while solving.

    Raises
    ------
    InternalError
        When the independent check finds a violation in the engine's layout.
    """
    began = time.monotonic()
    pricing = price(problem)
    left = None if time_limit_s is None else max(0.0, time_limit_s - (time.monotonic() - began))
    layout = solve_priced(pricing, time_limit_s=left, gap=gap, start=start, progress=progress)
    return replace(layout, seconds=round(time.monotonic() - began, 3))


def solve_priced(
    pricing: Pricing,
    *,
    time_limit_s: float | None = None,
    gap: float = 0.0,
    start: Layout | None = None,
    progress: Callable[[Progress], None] | None = None,
) -> Layout:
    """As ``solve``, from a pricing at hand."""
    began = time.monotonic()
    first = None if start is None else choice_from(pricing, start)
    choice = choose(pricing, time_limit_s=time_limit_s, gap=gap, start=first, progress=progress)
    layout = replace(assemble(pricing, choice), seconds=round(time.monotonic() - began, 3))
    if layout.circuits:
        report = check(pricing.problem, layout)
        if not report.clean:
            raise InternalError(report)
    return layout
