"""Changes of a problem: what would be written elsewhere in its tables, in words and as something that can be done."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, replace
from dataclasses import field as made_of
from functools import reduce

from allocator.layout import Layout
from allocator.problem import Bulkhead, Load, Place, Problem, Unit, UnitType


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemChange:
    """One change of a problem: ``field`` of ``row`` in ``table`` from one value to another, both as they are written.

    ``said`` asks for it in a sentence without its full stop; where it says what another ``subject`` would have to be,
    such as a unit type like one there is, the sentence begins with that.
    """

    table: str
    row: str
    field: str
    before: str
    after: str
    said: str
    subject: str = ""
    make: Callable[[Problem], Problem] = made_of(repr=False, compare=False)

    @property
    def words(self) -> str:
        """The whole sentence, without its full stop."""
        return f"{self.subject} {self.said}" if self.subject else self.said

    def apply(self, problem: Problem) -> Problem:
        """The problem with the change made. Raises ProblemError where it would not be a problem any more."""
        return self.make(problem)


def applied(problem: Problem, changes: Iterable[ProblemChange]) -> Problem:
    """The problem with all changes made, one after another."""
    return reduce(lambda changed, change: change.apply(changed), changes, problem)


def in_words(changes: Iterable[ProblemChange]) -> str:
    """All changes in one sentence; those of one subject are said of it one after another."""
    parts: list[str] = []
    subjects: dict[str, int] = {}
    for change in changes:
        if change.subject in subjects:
            parts[subjects[change.subject]] += f" and {change.said}"
            continue
        if change.subject:
            subjects[change.subject] = len(parts)
        parts.append(change.words)
    text = "; and ".join(parts)
    return f"{text[:1].upper()}{text[1:]}."


def with_loads(problem: Problem, names: Collection[str], change: Callable[[Load], Load]) -> Problem:
    """The problem with some of its loads changed."""
    return replace(problem, loads=tuple(change(x) if x.name in names else x for x in problem.loads))


def with_units(problem: Problem, names: Collection[str], change: Callable[[Unit], Unit]) -> Problem:
    """The problem with some of its units changed; lengths measured from where none of them may sit are left out."""
    units = tuple(change(x) if x.name in names else x for x in problem.units)
    ends = {site for unit in units for site in unit.sites} | {source.place for source in problem.sources}
    return replace(problem, units=units, runs=tuple(run for run in problem.runs if run.site in ends))


def with_built_units(problem: Problem, built: Layout, change: Callable[[Unit], Unit] = lambda unit: unit) -> Problem:
    """The problem with each unit of a layout held to its site there, where it may still sit there, and changed."""
    sites = {unit.name: unit.site for unit in built.units}
    held = {unit.name for unit in problem.units if sites.get(unit.name) in unit.sites}
    return with_units(problem, held, lambda unit: change(replace(unit, sites=(sites[unit.name],))))


def with_type(problem: Problem, name: str, change: Callable[[UnitType], UnitType]) -> Problem:
    """The problem with one of its unit types changed."""
    return replace(problem, unit_types=tuple(change(x) if x.name == name else x for x in problem.unit_types))


def with_place(problem: Problem, name: str, change: Callable[[Place], Place]) -> Problem:
    """The problem with one of its places changed."""
    return replace(problem, places=tuple(change(x) if x.name == name else x for x in problem.places))


def with_bulkhead(problem: Problem, name: str, change: Callable[[Bulkhead], Bulkhead]) -> Problem:
    """The problem with one of its bulkheads changed."""
    return replace(problem, bulkheads=tuple(change(x) if x.name == name else x for x in problem.bulkheads))
