"""Ways out where no layout is possible: different kinds of change, each tried by solving the changed problem."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from allocator.changes.change import ProblemChange, applied, in_words
from allocator.clock import TimeUpError
from allocator.infeasibility.mended_faults import mended
from allocator.infeasibility.proposals import proposed
from allocator.infeasibility.raised_limits import raised
from allocator.infeasibility.trying import as_solved, possible
from allocator.model.elastic import Stretch
from allocator.options import list_options
from allocator.problem import Problem
from allocator.search.stopwatch import Stopwatch


@dataclass(frozen=True, slots=True)
class WayOut:
    """Changes with which a layout is possible. ``verified``: the changed problem was solved, its layout checked."""

    sentence: str
    changes: tuple[ProblemChange, ...]
    verified: bool

    def apply(self, problem: Problem) -> Problem:
        """The problem with the changes made."""
        return applied(problem, self.changes)


@dataclass(frozen=True, slots=True)
class Trials:
    """What came of trying changes.

    ``vain``: kinds of change, by name, with which no layout came, each by itself or several at once. ``complete``
    False: the time was up, or it was stopped, before all of them were tried.
    """

    ways: tuple[WayOut, ...] = ()
    vain: tuple[tuple[str, ...], ...] = ()
    complete: bool = False


def mended_alone(problem: Problem, most: int, stopwatch: Stopwatch) -> Trials:
    """At most so many ways out that take away what rules out every layout by itself, and change nothing else."""
    found: list[WayOut] = []
    bases = list(mended(problem))[:most]
    try:
        for changes in bases:
            stopwatch.tell(f"trying: {in_words(changes)}")
            if possible(problem, changes, stopwatch):
                found.append(_told(changes, stopwatch))
    except TimeUpError:
        pass
    return Trials(tuple(found), complete=len(found) == len(bases))


def ways_out(problem: Problem, most: int, stopwatch: Stopwatch, stretch: Stretch | None = None) -> Trials:
    """Ways out, and what was tried without success.

    Parameters
    ----------
    problem
        A problem without a layout.
    most
        How many ways out are enough.
    stopwatch
        The time for it; told what is tried.
    stretch
        A solution that exceeds limits. Raising these is tried first, as it takes no search, and told last, as other
        changes cost less; kinds of change that help with these limits go before others. None where none is known.
    """
    found: list[WayOut] = []
    vain: dict[tuple[str, ...], None] = {}
    tried: set[frozenset[object]] = set()
    enough: list[frozenset[object]] = []
    sure: tuple[WayOut, ...] = ()
    try:
        if stretch is not None:
            sure = _raised(problem, stretch, stopwatch)
        option_list = list_options(problem) if stretch is None else stretch.option_list
        for kinds, changes in proposed(problem, option_list, stopwatch, stretch, sure or found):
            key = _key(changes)
            if key in tried or any(better <= key for better in enough):
                continue
            if changes:
                tried.add(key)
                stopwatch.tell(f"trying: {in_words(changes)}")
            if not changes or not possible(problem, changes, stopwatch):
                vain[kinds] = None
                continue
            vain.pop(kinds, None)
            found.append(_told(changes, stopwatch))
            enough.append(key)
            if len(found) == most:
                break
    except TimeUpError:
        return Trials((*found, *_besides(sure, enough))[:most], tuple(vain))
    complete = len(found) == most or not stopwatch.undecided
    return Trials((*found, *_besides(sure, enough))[:most], tuple(vain), complete)


def _key(changes: Iterable[ProblemChange]) -> frozenset[object]:
    return frozenset((c.table, c.row, c.field, c.after) for c in changes)


def _raised(problem: Problem, stretch: Stretch, stopwatch: Stopwatch) -> tuple[WayOut, ...]:
    """The way out that is the solution of a stretch itself, where its limits can be raised."""
    changes = raised(problem, stretch.option_list, stretch.shortfalls)
    if not changes or not (as_solved(problem, changes, stretch, stopwatch) or possible(problem, changes, stopwatch)):
        return ()
    return (_told(changes, stopwatch),)


def _told(changes: tuple[ProblemChange, ...], stopwatch: Stopwatch) -> WayOut:
    """A way out that was tried, told at once: others may take long."""
    stopwatch.tell(f"a way out: {in_words(changes)}")
    return WayOut(in_words(changes), changes, True)


def _besides(sure: tuple[WayOut, ...], enough: Collection[frozenset[object]]) -> tuple[WayOut, ...]:
    """Ways that do not hold another one."""
    return tuple(way for way in sure if not any(better <= _key(way.changes) for better in enough))
