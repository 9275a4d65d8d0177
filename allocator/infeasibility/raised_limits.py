"""The limits that are passed, raised by as much as they are: the solution that passes them is a way out itself."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from allocator.changes.change import ProblemChange
from allocator.changes.of_loads import contacts, not_against, studs, survive
from allocator.changes.of_units import bank_rating, if_needed, more_outputs, room_at_site, unit_rating
from allocator.infeasibility.knobs import site_share, up_a
from allocator.model.elastic import Shortfall
from allocator.model.keys import SurviveBank, SurviveBulkhead, SurviveSource, SurviveUnit
from allocator.options import OptionList
from allocator.problem import Fit, Problem


def raised(problem: Problem, option_list: OptionList, passed: Sequence[Shortfall]) -> tuple[ProblemChange, ...]:
    """Changes with which no limit is passed any more; none where one of them is of a kind that is not simply raised."""
    lists = _Raised(problem, option_list)
    # of counts within counts the smaller first: what they get, the larger have too
    for one in sorted(passed, key=lambda one: len(_of(one)) if one.limit.kind in NESTED else 0):
        if one.limit.kind not in RAISED:
            return ()
        if not RAISED[one.limit.kind](lists, one):
            return ()
    return tuple(lists.changes())


NESTED = ("outputs", "contacts")
"""Kinds of limit on counts of several things together, beside those of some of them."""


@dataclass
class _Raised:
    """What has to be more of, by what has it."""

    problem: Problem
    option_list: OptionList
    units: dict[str, float] = field(default_factory=dict)
    banks: dict[tuple[str, str], float] = field(default_factory=dict)
    outputs: dict[tuple[str, int], int] = field(default_factory=dict)
    contacts: dict[tuple[str, int], int] = field(default_factory=dict)
    counted: dict[tuple[str, str], int] = field(default_factory=dict)
    lost: dict[str, int] = field(default_factory=dict)
    against: dict[str, list[str]] = field(default_factory=dict)

    def unit(self, one: Shortfall) -> bool:
        """More current of a unit type."""
        slot = self.option_list.slots[_at(one)]
        own = self.problem.unit_type[slot.unit.type]
        asked = up_a(own.continuous_a + one.amount / site_share(self.problem, slot))
        self.units[own.name] = max(asked, self.units.get(own.name, 0.0))
        return True

    def bank(self, one: Shortfall) -> bool:
        """More current of a bank of a unit type."""
        slot, name = self.option_list.slots[_at(one)], _of(one)
        own = self.problem.unit_type[slot.unit.type]
        before = next(bank.continuous_a for bank in own.banks if bank.name == name)
        asked = up_a(before + one.amount / site_share(self.problem, slot))
        self.banks[own.name, name] = max(asked, self.banks.get((own.name, name), 0.0))
        return True

    def output(self, one: Shortfall) -> bool:
        """More outputs of the first class that is not a pinned one."""
        slot, numbers = self.option_list.slots[_at(one)], _of(one)
        own = self.problem.unit_type[slot.unit.type]
        places = [_class_of(own.outputs, slot.classes[q]) for q in numbers if not slot.classes[q].pinned]
        if not places:
            return False
        _top_up(self.outputs, [(own.name, n) for n in places], round(one.amount))
        return True

    def contact(self, one: Shortfall) -> bool:
        """More contacts of the first set."""
        _top_up(self.contacts, [(_at(one), n) for n in _of(one)], round(one.amount))
        return True

    def count(self, one: Shortfall) -> bool:
        """More studs, more room, or fewer units that must be fitted."""
        key = (one.limit.kind, str(_at(one)))
        self.counted[key] = max(round(one.amount), self.counted.get(key, 0))
        return True

    def function(self, one: Shortfall) -> bool:
        """Fewer loads of a function that are to outlive a failure; where none would be left, not that failure."""
        key = _at(one)
        self.lost[key.function] = max(round(one.amount), self.lost.get(key.function, 0))
        self.against.setdefault(key.function, []).extend(_FAILURES[type(key)])
        return True

    def changes(self) -> Iterable[ProblemChange]:
        """All of it as changes of the problem."""
        problem = self.problem
        yield from (unit_rating(problem.unit_type[name], asked) for name, asked in self.units.items())
        yield from (bank_rating(problem.unit_type[name], bank, asked) for (name, bank), asked in self.banks.items())
        for (name, n), more in self.outputs.items():
            yield more_outputs(problem.unit_type[name], problem.unit_type[name].outputs[n], more)
        for (bulkhead, n), more in self.contacts.items():
            yield contacts(problem, bulkhead, n, problem.bulkhead[bulkhead].contacts[n].count + more)
        for (kind, name), more in self.counted.items():
            if kind == "studs":
                yield studs(problem, name, problem.bulkhead[name].studs + more)
            elif kind == "site":
                yield room_at_site(problem, name, problem.place[name].units + more)
            else:
                always = [u for u in self.option_list.unit_groups[int(name)].units if u.fit is Fit.ALWAYS]
                yield from (if_needed(problem.unit[unit.name]) for unit in always[-more:])
        for function in problem.functions:
            lost = self.lost.get(function.name, 0)
            if lost and function.survive > lost:
                yield survive(function, function.survive - lost)
            elif lost:
                yield not_against(function, tuple(k for k in function.against if k in self.against[function.name]))


def _at(one: Shortfall) -> Any:
    """Where the limit is: what kind of thing that is follows from the kind of limit."""
    return one.limit.key.at


def _of(one: Shortfall) -> Any:
    """Which limit it is there."""
    return one.limit.key.of


def _class_of(outputs: Sequence[Any], group: Any) -> int:
    return next(n for n, own in enumerate(outputs) if (own.name, own.bank) == (group.output.name, group.bank))


def _top_up(sums: dict[tuple[str, int], int], places: Sequence[tuple[str, int]], asked: int) -> None:
    lacking = asked - sum(sums.get(place, 0) for place in places)
    if lacking > 0:
        sums[places[0]] = sums.get(places[0], 0) + lacking


_FAILURES: dict[type, tuple[str, ...]] = {
    SurviveUnit: ("unit", "feed"),
    SurviveSource: ("source",),
    SurviveBank: ("bank",),
    SurviveBulkhead: ("bulkhead",),
}

RAISED: dict[str, Callable[[_Raised, Shortfall], bool]] = {
    "unit": _Raised.unit,
    "bank": _Raised.bank,
    "outputs": _Raised.output,
    "contacts": _Raised.contact,
    "studs": _Raised.count,
    "site": _Raised.count,
    "always": _Raised.count,
    "survive": _Raised.function,
}
"""Kinds of limit that can be raised as they stand; the others ask for another cable, unit or word."""
