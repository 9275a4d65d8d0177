"""No layout is possible: why not, by how much, and what would have to give."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from allocator.advising.crowds import priced_alone
from allocator.advising.elastic import Shortfall, shortfalls
from allocator.advising.known import what_is_known
from allocator.advising.stopwatch import Stopped, Stopwatch, Told
from allocator.advising.ways_out import ANY_LAYOUT, WayOut, ways_out
from allocator.clock import TimeUpError, left_s, until
from allocator.layout import INFEASIBLE
from allocator.notebook import framed
from allocator.pricing import price
from allocator.pricing.evident import evident
from allocator.problem import Problem
from allocator.solving import solve

if TYPE_CHECKING:
    from pandas import DataFrame

MOST_WAYS = 3

LEAST_SHARE, LEAST_S = 0.25, 30.0
"""Share of the time, and seconds at the most, for proving that what is lacking is the least; beyond, it says so."""

SHOWN = 3


@dataclass(frozen=True, slots=True)
class Infeasibility:
    """Why a problem has no layout, which was proven with the solver's presolve and confirmed without.

    ``reasons`` are facts of which each alone rules out every layout. ``shortfalls`` are the limits that would have to
    be passed in the choice that passes them least (``least`` False: the best found in the time). ``complete`` False:
    the time was up, or it was stopped, before every kind of change had been tried.
    """

    problem: str
    reasons: tuple[str, ...]
    shortfalls: tuple[Shortfall, ...]
    ways: tuple[WayOut, ...]
    least: bool = True
    complete: bool = True

    @property
    def sentence(self) -> str:
        """Why there is no layout, in one sentence."""
        if self.reasons:
            return self.reasons[0]
        if self.shortfalls:
            shown = "; ".join(one.text for one in self.shortfalls[:SHOWN])
            left = len(self.shortfalls) - SHOWN
            return f"The least that is lacking: {shown}{f'; and {left} more' if left > 0 else ''}."
        return "Every load could be fed by itself; it is all of them together that do not fit."

    def _repr_html_(self) -> str:
        return framed(f"{self.problem}: no layout is possible", [("why", self.sentence)], self.frame())

    def frame(self) -> DataFrame:
        """Changes of all ways out as a table: one row a change."""
        from pandas import DataFrame

        columns = ["way", "verified", "table", "row", "field", "before", "after", "words"]
        rows = [
            (n, way.verified, c.table, c.row, c.field, c.before, c.after, c.words)
            for n, way in enumerate(self.ways, start=1)
            for c in way.changes
        ]
        return DataFrame(rows, columns=columns)

    def shortfall_frame(self) -> DataFrame:
        """Limits that would have to be passed, and by how much."""
        from pandas import DataFrame

        columns = ["limit", "condition", "over", "amount", "unit"]
        rows = [(s.limit.name, s.limit.condition, s.amount, s.limit.amount, s.limit.unit) for s in self.shortfalls]
        return DataFrame(rows, columns=columns)


def why_not(
    problem: Problem,
    *,
    time_limit_s: float | None = None,
    most: int = MOST_WAYS,
    proven: bool = False,
    progress: Told | None = None,
    stopped: Stopped | None = None,
) -> Infeasibility | None:
    """Why a problem has no layout, and ways out that were tried; None where it has one, or where nothing is proven.

    Parameters
    ----------
    time_limit_s
        Seconds for proof and advice together; None for no limit.
    most
        Ways out to look for.
    proven
        That there is no layout is known already, and need not be proven again.
    progress
        Told what is being tried.
    stopped
        Asked between steps whether to end with what is found.
    """
    with until(time_limit_s):
        if not proven and solve(problem, gap=ANY_LAYOUT).status != INFEASIBLE:
            return None
        return _why_not(problem, most, Stopwatch(left_s(), progress, stopped))


def _why_not(problem: Problem, most: int, watch: Stopwatch) -> Infeasibility:
    reasons: tuple[str, ...] = ()
    passed: tuple[Shortfall, ...] = ()
    least = False
    try:
        reasons = evident(problem).faults
        pricing = priced_alone(problem)
        reasons = what_is_known(pricing) or reasons
        left = watch.share_s(LEAST_SHARE)
        limit = LEAST_S if left is None else min(left, LEAST_S)
        watch.tell("what is lacking, at the least")
        stretch = shortfalls(pricing, unfed=[g.index for g in pricing.unfed], time_limit_s=limit)
        if problem.margins.bundle and not pricing.unfed and stretch is not None and not stretch.shortfalls:
            # each wire by itself would do: it is the bundles
            stretch = shortfalls(price(problem), time_limit_s=watch.share_s(LEAST_SHARE))
        passed, least = ((), True) if stretch is None else (stretch.shortfalls, stretch.least)
        # that something is lacking in all is less than by how much what is lacking where
        reasons = what_is_known(pricing) if passed else reasons
        ways, complete = ways_out(problem, most, watch, {one.limit.kind for one in passed})
    except TimeUpError:
        return Infeasibility(problem.name, reasons, passed, (), least, complete=False)
    return Infeasibility(problem.name, reasons, passed, ways, least, complete)
