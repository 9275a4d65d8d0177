"""What may be turned to make a layout fit: a column of the model for each, and the change of the problem it means."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, field, replace
from math import ceil
from typing import TypeVar

from allocator.changes.change import ProblemChange
from allocator.clock import TimeUpError
from allocator.model import Model, Solution, build
from allocator.model.constraints import TIGHTENING
from allocator.model.keys import Key
from allocator.model.optimise import solution_of
from allocator.model.rows import Row, Variable, at_most, row
from allocator.model.separation import separate
from allocator.model.solver import run
from allocator.model.variables import Term, Variables
from allocator.options import LazyRows, OptionList, Slot, list_options
from allocator.problem import Problem
from allocator.search.stopwatch import Stopwatch

K = TypeVar("K", bound=Key)


@dataclass(frozen=True, slots=True)
class Knob:
    """A column: what one of it costs, in shares of what it widens, and what a value of it changes in the problem."""

    column: Variable
    weight: float
    changes: Callable[[float], tuple[ProblemChange, ...]]


@dataclass
class Bench:
    """A loosened model in the making: ``extra`` terms of its rows by key, ``rows`` that come on top, its knobs.

    ``problem`` is the problem as it was asked, ``v.option_list.problem`` the loosened one.
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
        changes: Callable[[float], tuple[ProblemChange, ...]],
        most: float | None = 1.0,
        whole: bool = True,
    ) -> Variable:
        """A new knob, and its column.

        Parameters
        ----------
        weight
            What one of it costs, in shares of what it widens.
        changes
            What a value of the column changes in the problem.
        most
            Upper bound of the column; None for none.
        whole
            Whether the column takes whole numbers only.
        """
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
    """One kind of way out: how the problem is loosened so that all of it is listed, and the knobs that hold it back."""

    name: str
    loosen: Callable[[Problem], Problem]
    turn: Callable[[Bench], None]


SHARE = 0.4
"""Of the time left, what one kind of change may take."""


def turned(
    problem: Problem, reliefs: Collection[Relief], stopwatch: Stopwatch, lazy: LazyRows | None = None
) -> tuple[ProblemChange, ...] | None:
    """The least changes found of these kinds that let the model have a layout.

    Parameters
    ----------
    problem
        The problem as it was asked.
    reliefs
        Kinds of change, all of them allowed at once.
    stopwatch
        Gives a share of the time left; told where the time was up before it was decided.
    lazy
        Lazy rows to begin with; None for none.

    Returns
    -------
    tuple or None
        The changes; empty where none of these kinds help. None where there is nothing of these kinds to change, or
        where the time was up first.

    Raises
    ------
    TimeUpError
        When no time is left.
    """
    loose = problem
    for relief in reliefs:
        loose = relief.loosen(loose)
    lazy = lazy or LazyRows()
    while True:
        option_list = list_options(loose, lazy=lazy)
        found = None if option_list.faults else _turned(problem, option_list, reliefs, stopwatch)
        if not isinstance(found, _Turned):
            return found
        more = separate(option_list, found.solution)
        if not more:
            return found.changes
        lazy |= more


@dataclass(frozen=True, slots=True)
class _Turned:
    """A solution of the loosened model, and the changes that it takes."""

    solution: Solution
    changes: tuple[ProblemChange, ...]


def _turned(
    problem: Problem, option_list: OptionList, reliefs: Collection[Relief], stopwatch: Stopwatch
) -> _Turned | tuple[()] | None:
    model = build(option_list, without=TIGHTENING)
    bench = Bench(problem, model.variables, [own.key for _, own in model.rows if isinstance(own.key, Key)])
    for relief in reliefs:
        relief.turn(bench)
    if not bench.knobs:
        return None
    held = _held_back(model, bench)
    # without whole numbers it is settled in no time that most kinds of change cannot help
    if run(held.lp_relaxation(), time_limit_s=stopwatch.share_s(SHARE), confirmed=False).infeasible:
        return ()
    outcome = run(held, time_limit_s=stopwatch.share_s(SHARE), confirmed=False)
    if outcome.interrupted:
        raise TimeUpError
    if outcome.values is None:
        stopwatch.undecided |= not outcome.infeasible
        return () if outcome.infeasible else None
    changes: list[ProblemChange] = []
    for knob in bench.knobs:
        value = outcome.values[knob.column.index]
        value = float(round(value)) if knob.column.integer else value
        if value > 1e-6:
            changes += knob.changes(value)
    return _Turned(solution_of(held, outcome), tuple(changes))


def _held_back(model: Model, bench: Bench) -> Model:
    rows = [
        (family, row(own.key, [*own.terms, *_extra(bench, own)], own.sense, own.right)) for family, own in model.rows
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
    """No loosening is needed to list what a knob allows."""
    return problem
