"""Ways out on the side of what is asked: functions, loads that stay together, contacts and studs of bulkheads."""

from __future__ import annotations

from dataclasses import replace

from allocator.changes.change import ProblemChange
from allocator.changes.of_loads import apart, contacts, not_against, studs, survive
from allocator.infeasibility.knobs import Bench, Relief, unchanged
from allocator.model.constraints.failures import may_fail
from allocator.model.keys import Contacts, Studs, SurviveBank, SurviveBulkhead, SurviveSource, SurviveUnit, TogetherAt
from allocator.model.rows import Variable, at_most
from allocator.problem import Bulkhead, Function, Problem

MORE_CONTACTS = 20
"""Contacts of a set, and feeds through a bulkhead, that a way out may add."""

Survive = SurviveUnit | SurviveSource | SurviveBank | SurviveBulkhead
FAILURES: tuple[tuple[type[Survive], tuple[str, ...]], ...] = (
    (SurviveUnit, ("unit", "feed")),
    (SurviveSource, ("source",)),
    (SurviveBank, ("bank",)),
    (SurviveBulkhead, ("bulkhead",)),
)
"""Kinds of failure that a row of the model is about."""


def _without_output_failures(problem: Problem) -> Problem:
    """Circuits are listed that one failed output would take too much of a function with; rows hold them back."""
    kept = []
    for function in problem.functions:
        against = tuple(kind for kind in function.against if kind != "output")
        if against:
            kept.append(replace(function, against=against))
    return replace(problem, functions=tuple(kept))


def _functions(bench: Bench) -> None:
    for function in bench.problem.functions:
        less = _fewer(bench, function)
        members = float(may_fail(bench.v, function) + function.survive)
        for about, kinds in FAILURES:
            asked = tuple(kind for kind in kinds if kind in function.against)
            if asked:
                knob = _dropped(bench, function, asked)
                for key in (key for key in bench.of(about) if key.function == function.name):
                    bench.ease(key, (less, -1.0), (knob, -members))
        if "output" in function.against:
            _on_one_output(bench, function, less, _dropped(bench, function, ("output",)), members)


def _fewer(bench: Bench, function: Function) -> Variable:
    def changes(less: float) -> tuple[ProblemChange, ...]:
        return (survive(function, function.survive - int(less)),)

    return bench.knob(0.5 / function.survive, changes, function.survive - 1)


def _dropped(bench: Bench, function: Function, kinds: tuple[str, ...]) -> Variable:
    def changes(_: float) -> tuple[ProblemChange, ...]:
        return (not_against(function, kinds),)

    return bench.knob(1.0, changes)


def _on_one_output(bench: Bench, function: Function, less: Variable, knob: Variable, all_: float) -> None:
    v, may = bench.v, may_fail(bench.v, function)
    belongs = [g.sample.name in function.loads or g.sample.item in function.loads for g in v.option_list.load_groups]
    for option in v.option_list.options:
        members = sum(n for g, n in option.candidate.members if belongs[g])
        if members > may:
            take = v.take[option.index]
            most = float(take.upper or 1.0)
            eased = [(less, -most / (members - may)), (knob, -most * all_)]
            bench.rows.append(at_most(f"one output[{function.name},{option.index}]", [(take, 1.0), *eased], 0))


def _together(bench: Bench) -> None:
    v = bench.v
    for group in v.option_list.load_groups:
        word = group.sample.together
        if word is None:
            continue
        names = tuple(load.name for load in group.loads)
        knob = _apart(bench, names)
        for slot in v.option_list.slots:
            key = TogetherAt(word, group.index, slot.index)
            for sign in (1.0, -1.0):
                free = v.add(f"apart{group.index},{slot.index},{sign:+.0f}", float(len(names)), integer=False)
                bench.only_with(free, float(len(names)), knob)
                bench.ease(key, (free, sign))


def _apart(bench: Bench, names: tuple[str, ...]) -> Variable:
    def changes(_: float) -> tuple[ProblemChange, ...]:
        return (apart(bench.problem, names),)

    return bench.knob(1.0, changes)


def _contacts(bench: Bench) -> None:
    for bulkhead in bench.problem.bulkheads:
        for number, own in enumerate(bulkhead.contacts):
            keys = [key for key in bench.of(Contacts) if key.bulkhead == bulkhead.name and number in key.sets]
            if keys:
                knob = _more_contacts(bench, bulkhead, number, own.count)
                for key in keys:
                    bench.ease(key, (knob, -1.0))
        if Studs(bulkhead.name) in bench.keys:
            bench.ease(Studs(bulkhead.name), (_more_studs(bench, bulkhead), -1.0))


def _more_contacts(bench: Bench, bulkhead: Bulkhead, number: int, count: int) -> Variable:
    def changes(more: float) -> tuple[ProblemChange, ...]:
        return (contacts(bench.problem, bulkhead.name, number, count + int(more)),)

    return bench.knob(1.0 / count, changes, MORE_CONTACTS)


def _more_studs(bench: Bench, bulkhead: Bulkhead) -> Variable:
    def changes(more: float) -> tuple[ProblemChange, ...]:
        return (studs(bench.problem, bulkhead.name, bulkhead.studs + int(more)),)

    return bench.knob(1.0, changes, MORE_CONTACTS)


FUNCTIONS = Relief("functions", _without_output_failures, _functions)
TOGETHER = Relief("together", unchanged, _together)
CONTACTS = Relief("contacts", unchanged, _contacts)
