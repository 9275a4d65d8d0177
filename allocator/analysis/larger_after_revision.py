"""The largest single load that a layout takes at a place when it may be revised: by solving again with that load."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import floor

from allocator.analysis.largest_load import LargestLoad, decisions_of, extra_load
from allocator.changes.change import with_built_units
from allocator.checking import check
from allocator.clock import TimeUpError
from allocator.layout import Layout
from allocator.problem import Problem
from allocator.revising import Revision, revise
from allocator.search.stopwatch import Stopwatch

Resolve = Callable[[Problem], Layout]

SLACK = 1e-9
TRIES = 5
TIME_LIMIT_S = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Enlarged:
    """What solving again with one load more gave at a place.

    ``current_a`` is the largest current tried for which there is a layout that breaks no rule (0: none was found),
    and ``layout`` that layout. ``tried`` holds (A, status of the answer) in the order tried: a current that is not
    among them was not tried, and one that ended with 'nothing-found' is not known to be too large. ``revision`` makes
    it from the layout that was given, with least new copper and moves; None where that was not worked out.
    """

    place: str
    current_a: float
    layout: Layout | None
    tried: tuple[tuple[float, str], ...]
    revision: Revision | None = None


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
        Currents to try, in A.
    resolve
        Solves the problem with the load; by default any layout that keeps the rules within 20 s, not the best one.

    Raises
    ------
    ValueError
        When the problem has no such place.
    """
    if place not in problem.place:
        raise ValueError(f"'{place}' is not a place of this problem. Correct the name, or add it.")
    seated = with_built_units(problem, layout)
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


def enlarged(
    problem: Problem, layout: Layout, known: Sequence[LargestLoad], stopwatch: Stopwatch, resolve: Resolve | None = None
) -> Iterator[Enlarged]:
    """For each place, the largest load above what it takes as it is, and the moves that it asks for.

    Every step up to what the outputs of the fitted units carry may be tried; ends where the time is up.

    Parameters
    ----------
    problem
        The problem.
    layout
        The layout.
    known
        The largest load at each place with nothing moved.
    stopwatch
        The time that is left.
    resolve
        Solves the problem with the larger load; None: any layout that keeps the rules will do.
    """
    most_a = _most_a(problem, layout)
    for one in known:
        first = round(one.current_a / one.step_a) + 1
        currents = [n * one.step_a for n in range(first, floor(most_a / one.step_a + SLACK) + 1)]

        def tried(larger: Problem, place: str = one.place) -> Layout:
            _ = stopwatch.left_s
            stopwatch.tell(f"{larger.loads[-1].current_a:g} A at {place}, circuits may move")
            return (resolve or _any_layout)(larger)

        try:
            found = largest_after_revision(
                problem, layout, one.place, currents, resolve=tried, tries=len(currents).bit_length()
            )
            _ = stopwatch.left_s
        except TimeUpError:
            return
        if found.layout is not None:
            stopwatch.tell(f"the fewest moves for {found.current_a:g} A at {one.place}")
            larger = replace(problem, loads=(*problem.loads, extra_load(problem, one.place, found.current_a)))
            made = revise(larger, layout, free=False, time_limit_s=TIME_LIMIT_S)
            found = replace(found, revision=made if made.layout is not None else None)
        yield found


def _most_a(problem: Problem, layout: Layout) -> float:
    """What outputs of one class of a fitted unit carry together, at most."""
    most = 0.0
    for fitted in layout.units:
        unit = problem.unit.get(fitted.name)
        if unit is None or fitted.site not in problem.place:
            continue
        unit_type = problem.unit_type[unit.type]
        use = unit_type.hot_share(problem.place_ambient_c(fitted.site)) * problem.margins.output_use
        for output in unit_type.outputs:
            count = min(output.parallel, len(output.pins))
            share = max(1.0, count * output.parallel_use if count > 1 else 1.0)
            most = max(most, share * output.continuous_a * use)
    return most


def _any_layout(problem: Problem) -> Layout:
    from allocator.search.solve import solve

    return solve(problem, gap=1.0, time_limit_s=TIME_LIMIT_S)
