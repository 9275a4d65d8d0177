"""What may be turned to make a layout fit: a column of the model for each, and the change of the problem it means."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, field, replace
from math import ceil
from typing import TypeVar

from allocator.advising.changes import Change
from allocator.advising.stopwatch import Stopwatch
from allocator.choosing import Choice, Model, build
from allocator.choosing.choose import choice_of
from allocator.choosing.families import TIGHTENING
from allocator.choosing.keys import Key
from allocator.choosing.passed import passed
from allocator.choosing.rows import Row, Variable, at_most, row
from allocator.choosing.solver import run
from allocator.choosing.variables import Term, Variables
from allocator.clock import TimeUpError
from allocator.pricing import Pricing, Slot, Watch, price
from allocator.problem import Problem

K = TypeVar("K", bound=Key)


@dataclass(frozen=True, slots=True)
class Knob:
    """A column: what one of it costs, in shares of what it widens, and what a value of it changes in the problem."""

    column: Variable
    weight: float
    changes: Callable[[float], tuple[Change, ...]]


@dataclass
class Bench:
    """A loosened model in the making: ``extra`` terms of its rows by key, ``rows`` that come on top, its knobs.

    ``problem`` is the problem as it was asked, ``v.pricing.problem`` the loosened one.
    """

    problem: Problem
    v: Variables
    keys: Collection[Key]
    extra: dict[Key, list[Term]] = field(default_factory=dict)
    rows: list[Row] = field(default_factory=list)
    knobs: list[Knob] = field(default_factory=list)

    def knob(
        self,
        weight: float,
        changes: Callable[[float], tuple[Change, ...]],
        most: float | None = 1.0,
        whole: bool = True,
    ) -> Variable:
        """A new knob."""
        column = self.v.add(f"knob{len(self.knobs)}", most, whole)
        self.knobs.append(Knob(column, weight, changes))
        return column

    def ease(self, key: Key, *terms: Term) -> None:
        """Terms on top of those that a row has."""
        self.extra.setdefault(key, []).extend(terms)

    def of(self, kind: type[K]) -> Iterator[K]:
        """Keys of the rows of a kind."""
        return (key for key in self.keys if isinstance(key, kind))

    def only_with(self, column: Variable, most: float, knob: Variable) -> None:
        """A column of at most ``most`` that is 0 unless the knob is turned."""
        self.rows.append(at_most(f"only[{column.name},{knob.name}]", [(column, 1.0), (knob, -most)], 0))


@dataclass(frozen=True, slots=True)
class Relief:
    """One kind of way out: how the problem is loosened so that all of it is priced, and the knobs that hold it back."""

    name: str
    loosen: Callable[[Problem], Problem]
    turn: Callable[[Bench], None]


SHARE = 0.4
"""Of the time left, what one kind of change may take."""


def turned(
    problem: Problem, reliefs: Collection[Relief], watch: Stopwatch, warm: Watch | None = None
) -> tuple[Change, ...] | None:
    """The least changes found of these kinds that let the model have a layout; none where no such changes do.

    ``warm`` are segments that are known to get too warm. None where there is nothing of these kinds to change, or where
    the time was up before it was decided: of that the stopwatch is told.
    """
    loose = problem
    for relief in reliefs:
        loose = relief.loosen(loose)
    warm = warm or Watch()
    while True:
        pricing = price(loose, watch=warm)
        found = None if pricing.faults else _turned(problem, pricing, reliefs, watch)
        if not isinstance(found, _Turned):
            return found
        more = passed(pricing, found.choice)
        if not more:
            return found.changes
        warm |= more


@dataclass(frozen=True, slots=True)
class _Turned:
    """A choice of the loosened model, and the changes that it takes."""

    choice: Choice
    changes: tuple[Change, ...]


def _turned(
    problem: Problem, pricing: Pricing, reliefs: Collection[Relief], watch: Stopwatch
) -> _Turned | tuple[()] | None:
    model = build(pricing, without=TIGHTENING)
    bench = Bench(problem, model.variables, [own.key for _, own in model.rows if isinstance(own.key, Key)])
    for relief in reliefs:
        relief.turn(bench)
    if not bench.knobs:
        return None
    held = _held_back(model, bench)
    # without whole numbers it is settled in no time that most kinds of change cannot help
    if run(held.in_parts(), time_limit_s=watch.share_s(SHARE), confirmed=False).infeasible:
        return ()
    outcome = run(held, time_limit_s=watch.share_s(SHARE), confirmed=False)
    if outcome.interrupted:
        raise TimeUpError
    if outcome.values is None:
        watch.undecided |= not outcome.infeasible
        return () if outcome.infeasible else None
    changes: list[Change] = []
    for knob in bench.knobs:
        value = outcome.values[knob.column.index]
        value = float(round(value)) if knob.column.integer else value
        if value > 1e-6:
            changes += knob.changes(value)
    return _Turned(choice_of(held, outcome), tuple(changes))


def _held_back(model: Model, bench: Bench) -> Model:
    rows = [
        (family, row(own.key, [*own.terms, *_extra(bench, own)], own.sense, own.right))
        for family, own in model.rows
    ]
    rows += [("knobs", own) for own in bench.rows]
    return replace(model, rows=tuple(rows), objective=tuple((k.column, 1000.0 * k.weight) for k in bench.knobs))


def _extra(bench: Bench, own: Row) -> list[Term]:
    return bench.extra.get(own.key, []) if isinstance(own.key, Key) else []


def up_a(value: float, step: float = 0.1) -> float:
    """A current rounded up to a step."""
    return round(ceil(value / step - 1e-6) * step, 6)


def site_share(problem: Problem, slot: Slot) -> float:
    """What is left of a rating at a site, after ``unit_use``."""
    hot = slot.unit_type.hot_share(problem.place_ambient_c(slot.site))
    return hot * problem.margins.unit_use


def unchanged(problem: Problem) -> Problem:
    """No loosening is needed to price what a knob allows."""
    return problem
