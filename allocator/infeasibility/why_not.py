"""No layout is possible: why not, by how much, and what would have to give."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from allocator.clock import TimeUpError, left_s, until
from allocator.infeasibility.evident_infeasibilities import evident_infeasibilities
from allocator.infeasibility.trying import ANY_LAYOUT
from allocator.infeasibility.ways_out import WayOut, mended_alone, ways_out
from allocator.layout import INFEASIBLE, NOTHING_FOUND
from allocator.model.elastic import Shortfall, Stretch, shortfalls
from allocator.notebook import shown
from allocator.options import Fault, OptionList, list_options
from allocator.options.evident_faults import with_evident_faults
from allocator.problem import Problem
from allocator.search.solve import solve
from allocator.search.stopwatch import Stopped, Stopwatch, Told
from allocator.table import Table, count, figure, text, texts

if TYPE_CHECKING:
    from pandas import DataFrame

MOST_WAYS = 3

KEPT_BACK, KEPT_BACK_S = 0.25, 30.0
"""Of a limit, and seconds at most, what a search leaves for saying why where it finds nothing."""

LEAST_SHARE, LEAST_S = 0.4, 30.0
"""Share of the time, and seconds at most, for proving that what is lacking is the least; beyond, it says so."""

SHOWN = 3


@dataclass(frozen=True, slots=True)
class Infeasibility:
    """Why a problem has no layout, or why none may have been found.

    ``proven``: that there is none was proven with the solver's presolve and confirmed without; False: a search was
    stopped with nothing found, and there may be one all the same.

    ``faults`` are facts of which each alone rules out every layout. ``shortfalls`` are the limits that would have to
    be passed in the solution that passes them least (``least`` False: the best found in the time). ``vain``: kinds of
    change, each by itself or several at once, with which there is no layout either. ``complete`` False: the time was
    up, or it was stopped, before every kind of change had been tried. ``unfed``: there are loads that no output can
    feed;
    they are left aside in what is lacking.
    """

    problem: str
    faults: tuple[Fault, ...]
    shortfalls: tuple[Shortfall, ...]
    ways: tuple[WayOut, ...]
    least: bool = True
    complete: bool = True
    proven: bool = True
    vain: tuple[tuple[str, ...], ...] = ()
    unfed: bool = False

    @property
    def reasons(self) -> tuple[str, ...]:
        """The facts in words."""
        return tuple(fault.text for fault in self.faults)

    @property
    def sentence(self) -> str:
        """Why there is no layout, in one sentence; that no reason is known where none is."""
        if self.faults:
            return self.faults[0].text
        if self.shortfalls:
            shown = "; ".join(one.text for one in self.shortfalls[:SHOWN])
            left = len(self.shortfalls) - SHOWN
            what = "The smallest shortfall" if self.least else "The smallest shortfall found in the time"
            return f"{what}: {shown}{f'; and {left} more' if left > 0 else ''}."
        if self.least and not self.proven:
            return "No limit that ties circuits together has to be broken: there may well be a layout."
        return "No reason is known: time ran out before one was found."

    def _repr_html_(self) -> str:
        known = "no layout is possible" if self.proven else "no layout was found"
        return shown(f"{self.problem}: {known}", [("why", self.sentence)], self.table())

    def table(self) -> Table:
        """Changes of all ways out: one row a change."""
        rows = tuple(
            (n, way.verified, c.table, c.row, c.field, c.before, c.after, c.words)
            for n, way in enumerate(self.ways, start=1)
            for c in way.changes
        )
        columns = (count("way"), *texts("verified", "table", "row", "field", "before", "after", "words"))
        return Table(columns=columns, rows=rows)

    def frame(self) -> DataFrame:
        """The same for pandas."""
        return self.table().frame()

    def shortfall_frame(self) -> DataFrame:
        """Limits that would have to be passed, and by how much."""
        return Table(
            columns=(*texts("limit", "condition"), figure("over"), figure("amount"), text("unit")),
            rows=tuple(
                (s.limit.name, s.limit.condition, s.amount, s.limit.amount, s.limit.unit) for s in self.shortfalls
            ),
        ).frame()


def why_not(
    problem: Problem,
    *,
    time_limit_s: float | None = None,
    most: int = MOST_WAYS,
    status: str | None = None,
    progress: Told | None = None,
    stopped: Stopped | None = None,
) -> Infeasibility | None:
    """Why a problem has no layout, or why none may have been found, and ways out that were tried; None where one is.

    Parameters
    ----------
    time_limit_s
        Seconds for proof and ways out together; None for no limit.
    most
        Ways out to look for.
    status
        What a search ended with that found no layout, ``infeasible`` or ``nothing-found``; None: that is found out.
    progress
        Told what is being tried.
    stopped
        Asked between steps whether to end with what is found.
    """
    with until(time_limit_s):
        if status is None:
            left = kept_back_s(time_limit_s)
            status = solve(problem, gap=ANY_LAYOUT, time_limit_s=time_limit_s, kept_back_s=left).status
        if status not in (INFEASIBLE, NOTHING_FOUND):
            return None
        known = Infeasibility(problem.name, (), (), (), least=False, complete=False, proven=status == INFEASIBLE)
        for more in _more_and_more(known, problem, most, Stopwatch(left_s(), progress, stopped)):
            known = more
    return known


def kept_back_s(time_limit_s: float | None) -> float:
    """Seconds of a limit that a search is to leave for saying why it found nothing."""
    return 0.0 if time_limit_s is None else min(KEPT_BACK * time_limit_s, KEPT_BACK_S)


def _more_and_more(known: Infeasibility, problem: Problem, most: int, stopwatch: Stopwatch) -> Iterator[Infeasibility]:
    """What is known, step by step, until all is or the time is up: facts, what is lacking at the least, ways out."""
    try:
        known = replace(known, faults=with_evident_faults(problem).faults)
        yield known
        option_list = list_options(problem)
        facts = evident_infeasibilities(option_list)
        known = replace(known, faults=facts or known.faults, unfed=bool(option_list.unfed))
        yield known
        if option_list.faults and not option_list.unfed:
            trials = mended_alone(problem, most, stopwatch)
            if trials.ways:
                # with the faults mended there is a layout, so nothing else is lacking
                yield replace(known, ways=trials.ways, least=True, complete=trials.complete)
                return
        stopwatch.tell("the smallest shortfall")
        stretch = _stretch(option_list, stopwatch)
        if stretch is not None:
            # that something is lacking in all is less than by how much what is lacking where, if that is the least
            faults = facts if stretch.shortfalls and stretch.least else known.faults
            known = replace(known, faults=faults, shortfalls=stretch.shortfalls, least=stretch.least)
            yield known
        if known.proven or known.shortfalls:
            trials = ways_out(problem, most, stopwatch, stretch)
            known = replace(known, ways=trials.ways, vain=trials.vain, complete=trials.complete)
        else:
            known = replace(known, complete=known.least)
        yield known
    except TimeUpError:
        return


def _stretch(option_list: OptionList, stopwatch: Stopwatch) -> Stretch | None:
    """The least that limits are passed by."""
    left = stopwatch.share_s(LEAST_SHARE)
    limit_s = LEAST_S if left is None else min(left, LEAST_S)
    return shortfalls(option_list, unfed=[g.index for g in option_list.unfed], time_limit_s=limit_s)
