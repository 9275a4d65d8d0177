"""Functions: what may not fail together."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from allocator.model.constraints.currents import bank_of
from allocator.model.keys import SurviveBank, SurviveBulkhead, SurviveSource, SurviveUnit
from allocator.model.rows import Row, at_least, at_most
from allocator.model.variables import Term, Variables
from allocator.options import Option
from allocator.problem import Function, Supply


def _members(v: Variables, function: Function) -> Callable[[Option], int]:
    """How many loads of a function an option feeds."""
    belongs = [g.sample.name in function.loads or g.sample.item in function.loads for g in v.option_list.load_groups]
    return lambda option: sum(n for g, n in option.candidate.members if belongs[g])


def may_fail(v: Variables, function: Function) -> int:
    """``n - survive``: how many loads of the function one failure may take away."""
    loads = v.option_list.problem.loads
    return sum(1 for x in loads if x.name in function.loads or x.item in function.loads) - function.survive


def _terms(v: Variables, function: Function, keep: Callable[[Option], bool]) -> list[Term]:
    count = _members(v, function)
    return [(v.take[o.index], float(count(o))) for o in v.option_list.options if keep(o) and count(o)]


def survive_source(v: Variables) -> Iterator[Row]:
    """``sum_(o fed from the source) n[o, f] x[o] <= n[f] - survive[f]`` per source, less its direct loads."""
    for function in _against(v, "source"):
        for source in v.option_list.problem.sources:
            slots = {s.index for s in v.option_list.slots if s.source.name == source.name}
            terms = _terms(v, function, lambda o, slots=slots: o.slot in slots)  # type: ignore[misc]
            direct = _direct_at(v, function, source.name)
            yield at_most(SurviveSource(function.name, source.name), terms, may_fail(v, function) - direct)


def _direct_at(v: Variables, function: Function, source: str) -> int:
    """Loads of a function fused at a source: the first source is that of every direct load."""
    if v.option_list.problem.sources[0].name != source:
        return 0
    return sum(
        1
        for load in v.option_list.problem.loads
        if load.supply is Supply.DIRECT and (load.name in function.loads or load.item in function.loads)
    )


def survive_unit(v: Variables) -> Iterator[Row]:
    """``sum_(o at s) n[o, f] x[o] <= (n[f] - survive[f]) fit[s]`` per slot, for failures of unit or feed."""
    functions = {f.name: f for kind in ("unit", "feed") for f in _against(v, kind)}
    for function in functions.values():
        for slot in v.option_list.slots:
            terms = _terms(v, function, lambda o, s=slot.index: o.slot == s)  # type: ignore[misc]
            if terms:
                yield at_most(
                    SurviveUnit(function.name, slot.index),
                    [*terms, (v.fit[slot.index], -may_fail(v, function))],
                    0,
                )


def survive_bank(v: Variables) -> Iterator[Row]:
    """``sum_(o in bank) n[o, f] x[o] <= n[f] - survive[f]`` per slot and bank; a unit without banks is one bank."""
    for function in _against(v, "bank"):
        for slot in v.option_list.slots:
            for bank in sorted({group.bank for group in slot.classes}, key=str):
                terms = _terms(
                    v,
                    function,
                    lambda o, s=slot, b=bank: o.slot == s.index and bank_of(s, o) == b,  # type: ignore[misc]
                )
                if terms:
                    yield at_most(SurviveBank(function.name, slot.index, bank), terms, may_fail(v, function))


def survive_bulkhead(v: Variables) -> Iterator[Row]:
    """``sum_s lost[f, b, s] + sum_(d through b) direct[d] <= n[f] - survive[f]`` per bulkhead.

    ``lost >= sum_(o at s) (loads of f in o whose current passes b) x[o]``, and, where the feed of *s* may cross *b*,
    ``lost >= sum_(o at s) n[o, f] x[o] - n[f] (1 - sum_(g through b) feed[s, g])``.
    """
    groups = v.option_list.load_groups
    for function in _against(v, "bulkhead"):
        size = float(sum(len(g.loads) for g in groups if _belongs(function, g.sample.name, g.sample.item)))
        for bulkhead in v.option_list.problem.bulkheads:
            name = bulkhead.name
            lost = []
            for slot in v.option_list.slots:
                count = _members(v, function)
                own = [(o, count(o)) for o in v.option_list.by_slot[slot.index] if count(o)]
                through = [f.index for f in v.option_list.feeds_by_slot[slot.index] if name in f.route.bulkheads]
                cut = [(o, _cut_off(v, function, o, name)) for o, _ in own]
                direct = [(v.take[o.index], -float(n)) for o, n in cut if n]
                if not own or not (through or direct):
                    continue
                variable = v.lost[function.name, name, slot.index] = v.add(
                    f"lost[{function.name},{name},{slot.index}]", size, integer=False
                )
                lost.append((variable, 1.0))
                tag = f"{function.name},bulkhead {name},{slot.index}"
                yield at_least(f"lost[{tag}]", [(variable, 1.0), *direct], 0)
                if through:
                    feeds = [(v.feed[f], -size) for f in through]
                    every = [(v.take[o.index], -float(n)) for o, n in own]
                    yield at_least(f"lost by feed[{tag}]", [(variable, 1.0), *every, *feeds], -size)
            lost += [
                (v.direct[d.index], 1.0)
                for d in v.option_list.direct
                if _belongs(function, d.load.name, d.load.item) and any(x.bulkhead == name for x in d.plan.crossings)
            ]
            if lost:
                yield at_most(SurviveBulkhead(function.name, name), lost, may_fail(v, function))


def _cut_off(v: Variables, function: Function, option: Option, bulkhead: str) -> int:
    """How many loads of a function an option loses with a bulkhead: those whose own current passes it."""
    return sum(
        count
        for (name, group), count in option.plan.cut_off.items()
        if name == bulkhead
        and _belongs(
            function, v.option_list.load_groups[group].sample.name, v.option_list.load_groups[group].sample.item
        )
    )


def _belongs(function: Function, name: str, item: str) -> bool:
    return name in function.loads or item in function.loads


def _against(v: Variables, kind: str) -> list[Function]:
    return [f for f in v.option_list.problem.functions if kind in f.against]
