"""What would mend faults that no allocation of outputs mends: studs, their functions, direct loads."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from allocator.changes.change import ProblemChange, applied
from allocator.changes.of_loads import ground_stud, not_against, of_loads
from allocator.infeasibility.knobs import up_a
from allocator.options import list_options
from allocator.options.stud_faults import return_stud
from allocator.problem import SOURCE, Load, Problem, ProblemError, Supply
from allocator.problem.as_written import amperes, figure, named
from allocator.routing import network_of

STUD_STEP_A = 5.0
LARGEST_DROP = 0.20
"""The largest drop that is proposed for a direct load."""


def mended(problem: Problem) -> Iterator[tuple[ProblemChange, ...]]:
    """Different sets of changes that take every fault away."""
    seen = []
    for first in _MENDERS:
        changes: tuple[ProblemChange, ...] = ()
        for mender in (first, *(m for m in _MENDERS if m is not first)):
            try:
                changed = applied(problem, changes)
                if list_options(changed, only=()).faults:
                    changes = (*changes, *mender(changed))
            except ProblemError:
                break
        else:
            keys = [(c.table, c.row, c.field, c.after) for c in changes]
            if changes and keys not in seen and not list_options(applied(problem, changes), only=()).faults:
                seen.append(keys)
                yield changes


def _at_studs(problem: Problem) -> dict[str, list[Load]]:
    network = network_of(problem)
    found: dict[str, list[Load]] = {}
    for load in problem.loads:
        stud = return_stud(problem, network, load)
        if stud is not None:
            found.setdefault(stud, []).append(load)
    return found


def _worst_a(problem: Problem, loads: list[Load]) -> float:
    conditions = range(len(problem.conditions))
    return max(sum(load.current_a * load.heating(m) for load in loads) for m in conditions)


def _larger_studs(problem: Problem) -> tuple[ProblemChange, ...]:
    return tuple(
        ground_stud(problem, stud, up_a(_worst_a(problem, loads), STUD_STEP_A))
        for stud, loads in sorted(_at_studs(problem).items())
        if _worst_a(problem, loads) > (problem.place[stud].stud_a or 0.0) * (1.0 + 1e-9)
    )


def _other_returns(problem: Problem) -> tuple[ProblemChange, ...]:
    """Returns of the largest loads of a stud that carries too much, and of a function's, run to the source."""
    moved: list[Load] = []
    for stud, loads in sorted(_at_studs(problem).items()):
        left = sorted(loads, key=lambda x: (x.current_a, x.name))
        while left and _worst_a(problem, left) > (problem.place[stud].stud_a or 0.0) * (1.0 + 1e-9):
            moved.append(left.pop())
        for function in problem.functions:
            own = [x for x in problem.loads if x.name in function.loads or x.item in function.loads]
            here = [x for x in own if x in left]
            excess = len(here) - (len(own) - function.survive)
            if "stud" in function.against and excess > 0:
                moved += here[-excess:]
    return _to_source(tuple(dict.fromkeys(load.name for load in moved)))


def _to_source(names: tuple[str, ...]) -> tuple[ProblemChange, ...]:
    if not names:
        return ()
    words = f"run the return of {named(names)} to the source"
    return (of_loads(names, "return", "", SOURCE, words, return_to=SOURCE),)


def _functions_without_studs(problem: Problem) -> tuple[ProblemChange, ...]:
    studs = _at_studs(problem)
    changes = []
    for function in problem.functions:
        own = [x for x in problem.loads if x.name in function.loads or x.item in function.loads]
        lost = max((sum(1 for x in own if x in loads) for loads in studs.values()), default=0)
        if "stud" in function.against and len(own) - lost < function.survive:
            changes.append(not_against(function, ("stud",)))
    return tuple(changes)


def _direct_words(problem: Problem) -> tuple[ProblemChange, ...]:
    """A larger drop, or a higher protection, for direct loads that have no wire or no fuse."""
    changes: list[ProblemChange] = []
    for load in problem.loads:
        if load.supply is Supply.DIRECT and _faulty(problem, load):
            changes += next(
                (found for found in _words_of(problem, load) if not _faulty(applied(problem, found), load)), ()
            )
    return tuple(changes)


def _faulty(problem: Problem, load: Load) -> bool:
    return all(option.load.name != load.name for option in list_options(problem, only=()).direct)


def _words_of(problem: Problem, load: Load) -> Iterator[tuple[ProblemChange, ...]]:
    share = problem.margins.branch_drop if load.max_drop is None else load.max_drop
    for percent in range(int(100 * share) + 1, int(100 * LARGEST_DROP) + 1):
        words = f"let '{load.name}' lose {percent} % on its wires, not {figure(100 * share)} %"
        before, after = f"{figure(100 * share)} %", f"{percent} %"
        yield (of_loads((load.name,), "max_drop", before, after, words, max_drop=percent / 100.0),)
    if load.max_trip_a is not None:
        from allocator.wiring import standard_fuses

        for fuse in standard_fuses():
            if fuse > load.max_trip_a:
                before, after = amperes(load.max_trip_a), amperes(fuse)
                words = f"let '{load.name}' be protected at {after}, not {before}, if its maker allows that"
                yield (of_loads((load.name,), "max_trip", before, after, words, max_trip_a=fuse),)


_MENDERS: tuple[Callable[[Problem], tuple[ProblemChange, ...]], ...] = (
    _larger_studs,
    _other_returns,
    _functions_without_studs,
    _direct_words,
)
