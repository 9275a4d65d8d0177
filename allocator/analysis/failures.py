"""What each single failure takes away: loads per condition, functions that degrade, functions that are gone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from typing import TYPE_CHECKING

from allocator.evaluation.context import Context
from allocator.evaluation.prepare import prepare
from allocator.evaluation.single_failures import FAILED, ONE_BANK
from allocator.layout import Layout
from allocator.notebook import shown
from allocator.problem import Load, Problem
from allocator.table import JOIN, Table, columns_of, count, keyed, table_of, text, texts

if TYPE_CHECKING:
    from pandas import DataFrame

WORST_SHOWN = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """Loads on in one condition that a failure takes away, and their heating currents, nominal, added up."""

    condition: str
    loads: tuple[str, ...]
    current_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """A function that a failure takes loads from: how many it takes, how many of all are left.

    A load that nothing feeds is not left. ``asked`` tells whether the function is to outlive failures of this kind.
    """

    function: str
    taken: int
    left: int
    loads: int
    survive: int
    asked: bool

    @property
    def gone(self) -> bool:
        """Whether fewer loads are left than the function needs; else it is degraded."""
        return self.left < self.survive


@dataclass(frozen=True, slots=True, kw_only=True)
class Failure:
    """One thing that fails, with all that it takes away.

    ``loads`` are those off in every condition too, in the order of the problem; ``also`` names other failures that
    take the very same loads, where such are gathered.
    """

    kind: str
    object: str
    loads: tuple[str, ...]
    conditions: tuple[Lost, ...]
    hits: tuple[Hit, ...]
    also: tuple[str, ...] = ()

    @property
    def gone(self) -> tuple[str, ...]:
        """Functions of which less is left than they need."""
        return tuple(hit.function for hit in self.hits if hit.gone)

    @property
    def degraded(self) -> tuple[str, ...]:
        """Functions that lose loads and still have as many as they need."""
        return tuple(hit.function for hit in self.hits if not hit.gone)

    @property
    def most_lost(self) -> Lost:
        """The condition in which it takes most loads, then most amperes."""
        return max(self.conditions, key=lambda lost: (len(lost.loads), lost.current_a))


@dataclass(frozen=True, slots=True, kw_only=True)
class Failures:
    """Every single failure, in the order of the kinds; those that take nothing as well.

    ``unfed`` are loads that the layout feeds nowhere: a layout by hand may leave some out. ``never`` are functions of
    which these leave too little from the start.
    """

    failures: tuple[Failure, ...]
    unfed: tuple[str, ...]
    never: tuple[str, ...] = ()

    def worst(self, count: int = WORST_SHOWN) -> tuple[Failure, ...]:
        """The single failures that lose the most: functions gone first, then loads, then amperes.

        Failures that take the very same loads are one, named by the first of them.
        """
        return _gathered(self.failures)[:count]

    @property
    def gone(self) -> tuple[tuple[str, Failure], ...]:
        """Every function with a failure that alone ends it, failures with the very same loads as one."""
        return tuple((name, failure) for failure in _gathered(self.failures) for name in failure.gone)

    def _repr_html_(self) -> str:
        worst = self.worst(len(self.failures))
        rows = [(one.object, len(one.loads), one.most_lost.current_a, one.gone, one.degraded) for one in worst]
        columns = (text("failure"), count("loads"), *keyed("current_a"), *texts("functions gone", "functions degraded"))
        listed = Table(columns=columns, rows=tuple(rows))
        return shown("Single failures", [("fed by nothing", self.unfed)] if self.unfed else [], listed)

    def frame(self) -> DataFrame:
        """One row per failure and condition: kind, object, condition, number of loads lost, their A and names."""
        columns = (*texts("kind", "object", "condition"), count("count"), *keyed("current_a", "loads"))
        rows = tuple(
            (one.kind, one.object, lost.condition, len(lost.loads), lost.current_a, JOIN.join(lost.loads))
            for one in self.failures
            for lost in one.conditions
        )
        return Table(columns=columns, rows=rows).frame()

    def function_frame(self) -> DataFrame:
        """One row per failure and function that it takes loads from."""
        hits = (
            {"kind": one.kind, "object": one.object, **asdict(hit), "gone": hit.gone}
            for one in self.failures
            for hit in one.hits
        )
        return table_of((*texts("kind", "object"), *columns_of(Hit), text("gone")), hits).frame()


def failures(problem: Problem, layout: Layout) -> Failures:
    """What every single failure takes away from a layout; one by hand is completed first.

    A layout that breaks rules is taken as it is. What is lost with what follows the meaning of the functions'
    rule; functions are held against every kind of failure, whether they ask for it or not.
    """
    return failures_of(prepare(problem, layout))


def failures_of(context: Context) -> Failures:
    """What every single failure takes away from a prepared layout."""
    fed = {load.name for branch in context.branches for load in branch.loads}
    unfed = tuple(load.name for load in context.problem.loads if load.name not in fed)
    places = {load.name: n for n, load in enumerate(context.problem.loads)}
    found = []
    for kind, taken_by in FAILED.items():
        taken = taken_by(context)
        names = dict.fromkeys((*_things(context, kind), *sorted(taken)))
        for name in names:
            lost = sorted((one for one in taken.get(name, ()) if one in places), key=places.__getitem__)
            found.append(_failure(context.problem, kind, name, lost, set(unfed)))
    never = tuple(one.name for one in context.problem.functions if len(set(one.loads) - set(unfed)) < one.survive)
    return Failures(failures=tuple(found), unfed=unfed, never=never)


def _things(context: Context, kind: str) -> Iterator[str]:
    """Everything of a kind that can fail, under its name in the rule; what else feeds a load is added to it."""
    problem = context.problem
    if kind == "source":
        yield from (f"source {source.name}" for source in problem.sources)
    elif kind == "bulkhead":
        yield from (f"bulkhead {bulkhead.name}" for bulkhead in problem.bulkheads)
    elif kind == "stud":
        yield from (f"stud {place.name}" for place in problem.places if place.stud_a is not None)
    for name, mounted in context.mounted.items():
        if kind == "feed":
            yield f"the feed of unit {name}"
        elif kind == "unit":
            yield f"unit {name}"
        elif kind == "bank":
            banks = [f"bank {bank.name} of unit {name}" for bank in mounted.type.banks]
            yield from banks or [f"{ONE_BANK} of unit {name}"]
        elif kind == "output":
            yield from (f"output {pin} of unit {name}" for output in mounted.type.outputs for pin in output.pins)


def _failure(problem: Problem, kind: str, name: str, taken: list[str], unfed: set[str]) -> Failure:
    """What one failure takes away; the loads taken come in the order of the problem."""
    loads = tuple(problem.load[name] for name in taken)
    return Failure(
        kind=kind,
        object=name,
        loads=tuple(load.name for load in loads),
        conditions=tuple(_lost(loads, m, condition) for m, condition in enumerate(problem.conditions)),
        hits=tuple(_hits(problem, kind, set(taken), unfed)),
    )


def _lost(loads: tuple[Load, ...], m: int, condition: str) -> Lost:
    on = [load for load in loads if load.levels[m] > 0.0]
    current = sum(load.current_a * load.heating(m) for load in on)
    return Lost(condition=condition, loads=tuple(load.name for load in on), current_a=current)


def _hits(problem: Problem, kind: str, taken: set[str], unfed: set[str]) -> Iterator[Hit]:
    for function in problem.functions:
        loads = set(function.loads)
        if loads & taken:
            yield Hit(
                function=function.name,
                taken=len(loads & taken),
                left=len(loads - taken - unfed),
                loads=len(loads),
                survive=function.survive,
                asked=kind in function.against,
            )


def _gathered(found: tuple[Failure, ...]) -> tuple[Failure, ...]:
    """Failures that take anything, the worst first; those that take the very same loads as one."""
    first: dict[tuple[str, ...], Failure] = {}
    for one in sorted(found, key=lambda one: one.kind == "feed"):  # a unit names itself and its feed
        if one.loads:
            before = first.setdefault(one.loads, one)
            if before is not one:
                first[one.loads] = replace(before, also=(*before.also, one.object))
    return tuple(sorted(first.values(), key=_weight))


def _weight(one: Failure) -> tuple[int, int, float, str]:
    return -len(one.gone), -len(one.loads), -max(lost.current_a for lost in one.conditions), one.object
