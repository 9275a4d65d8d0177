"""The largest single load that a layout takes at a place when it may be revised: by solving again with that load."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from allocator.advising.changes import with_units
from allocator.advising.largest import decisions_of, extra_load
from allocator.checking import check
from allocator.layout import Layout
from allocator.problem import Problem

Resolve = Callable[[Problem], Layout]

TRIES = 5
TIME_LIMIT_S = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Enlarged:
    """What solving again with one load more gave at a place.

    ``current_a`` is the largest current tried for which there is a layout that breaks no rule (0: none was found),
    and ``layout`` that layout. ``tried`` holds (A, status of the answer) in the order tried: a current that is not
    among them was not tried, and one that ended with 'nothing-found' is not known to be too large.
    """

    place: str
    current_a: float
    layout: Layout | None
    tried: tuple[tuple[float, str], ...]


def largest_after_revision(
    problem: Problem,
    layout: Layout,
    place: str,
    currents: Sequence[float],
    *,
    resolve: Resolve | None = None,
    tries: int = TRIES,
) -> Enlarged:
    """The largest of some currents that fits at a place when circuits may move; units stay where they sit.

    The load is resistive and on in every condition. The currents are halved, at most ``tries`` of them solved: where
    one fits, smaller ones are taken to fit too.

    Parameters
    ----------
    currents
        Currents to choose from, in A.
    resolve
        Solves the problem with the load; by default any layout that keeps the rules within 20 s, not the best one.

    Raises
    ------
    ValueError
        When the problem has no such place.
    """
    if place not in problem.place:
        raise ValueError(f"'{place}' is not a place of this problem. Correct the name, or add it.")
    seated = _seated(problem, layout)
    rising = sorted(set(currents))
    low, high = -1, len(rising)
    tried: list[tuple[float, str]] = []
    best: Layout | None = None
    while high - low > 1 and len(tried) < tries:
        middle = (low + high) // 2
        larger = replace(seated, loads=(*seated.loads, extra_load(problem, place, rising[middle])))
        found = (resolve or _any_layout)(larger)
        tried.append((rising[middle], found.status))
        if found.circuits and check(larger, decisions_of(found)).clean:
            low, best = middle, found
        else:
            high = middle
    return Enlarged(place=place, current_a=rising[low] if low >= 0 else 0.0, layout=best, tried=tuple(tried))


def _any_layout(problem: Problem) -> Layout:
    from allocator.solving import solve

    return solve(problem, gap=1.0, time_limit_s=TIME_LIMIT_S)


def _seated(problem: Problem, layout: Layout) -> Problem:
    """The problem with every unit that the layout fits held to its site there."""
    fitted = {unit.name: unit.site for unit in layout.units}
    held = {unit.name for unit in problem.units if fitted.get(unit.name) in unit.sites}
    return with_units(problem, held, lambda unit: replace(unit, sites=(fitted[unit.name],)))
