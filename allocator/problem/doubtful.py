"""What contradicts nothing and is written wrong all the same, most likely.

Some of it no layout could ever give, some of it has two meanings. Such a problem can be made in Python; in a
folder the reader refuses it.
"""

from __future__ import annotations

from collections.abc import Iterator

from allocator.problem.agreements import of_load, outputs_of
from allocator.problem.draft import Draft
from allocator.problem.loads import Load, Supply
from allocator.problem.mistakes import Mistake
from allocator.problem.near_misses import suggestion


def doubtful(draft: Draft) -> tuple[Mistake, ...]:
    """Every such thing, once."""
    checks = (_capabilities, _pinned_capabilities, _insulation, _volts, _overlapping_runs)
    return tuple(dict.fromkeys(mistake for check in checks for mistake in check(draft)))


def _capabilities(draft: Draft) -> Iterator[Mistake]:
    """Each need of a load must be offered by an output of some unit, or of the unit it is pinned to."""
    if not {"units", "unit_types"} <= draft.whole:
        return
    for load in draft.loads:
        if load.supply is Supply.DIRECT:
            continue
        offered = _offered(draft, load)
        for need in load.needs:
            if need not in offered:
                whose = "no output" if load.unit is None else f"no output of unit '{load.unit}'"
                wrong = f"is a capability that {whose} offers"
                remedy = suggestion(need, offered, "capability")
                yield Mistake(table="loads", row=load.name, field="needs", value=need, wrong=wrong, remedy=remedy)


def _offered(draft: Draft, load: Load) -> frozenset[str]:
    units = [unit for unit in draft.units if load.unit in (None, unit.name)]
    types = {unit.type for unit in units}
    return frozenset(
        capability
        for unit_type in draft.unit_types
        if unit_type.name in types
        for output in unit_type.outputs
        for capability in output.capabilities
    )


def _insulation(draft: Draft) -> Iterator[Mistake]:
    """Some wire of each table withstands the temperature asked everywhere, and of either table what a segment asks."""
    if draft.wires is None or draft.feed_wires is None or draft.wire_rules is None:
        return
    remedy = "Ask for less, or name a table with better wire"
    best = {table.name: max(w.insulation_c for w in table.wires) for table in (draft.wires, draft.feed_wires)}
    asked = draft.wire_rules.insulation_c
    for name, highest in best.items():
        if asked > highest:
            wrong = f"is above the best insulation in wire table '{name}', {highest:g} degC"
            value = f"{asked:g} degC"
            yield Mistake(table="wire", field="insulation", value=value, wrong=wrong, remedy=remedy)
    highest = max(best.values())
    for segment in draft.segments:
        if segment.insulation_c is not None and segment.insulation_c > highest:
            yield Mistake(
                table="segments",
                row=segment.name,
                field="insulation",
                value=f"{segment.insulation_c:g} degC",
                wrong=f"is above the best insulation in the wire tables, {highest:g} degC",
                remedy=remedy,
            )


def _volts(draft: Draft) -> Iterator[Mistake]:
    for load in draft.loads:
        if draft.lowest_v is not None and load.min_volts_v is not None and load.min_volts_v >= draft.lowest_v:
            wrong = f"is not below the lowest system voltage of {draft.lowest_v:g} V"
            yield Mistake(
                table="loads",
                row=load.name,
                field="min_volts",
                value=f"{load.min_volts_v:g} V",
                wrong=wrong,
                remedy="Leave room for the drop in the wires",
            )


def _pinned_capabilities(draft: Draft) -> Iterator[Mistake]:
    """A pinned output offers what the load needs, where its unit has outputs that do."""
    for load in draft.loads:
        outputs = outputs_of(draft, load.unit) or ()
        for output in outputs:
            if load.output is None or load.output not in output.pins:
                continue
            for need in load.needs:
                if need not in output.capabilities and any(need in other.capabilities for other in outputs):
                    wrong = f"is an output of class '{output.name}', which does not offer '{need}'"
                    yield of_load(load, "output", load.output, wrong, "Pin it to an output that does")


def _overlapping_runs(draft: Draft) -> Iterator[Mistake]:
    """A run of an item covers all its loads, so one of these has no run of another length to the same site."""
    items = {load.name: load.item for load in draft.loads if load.item != load.name}
    given = {(run.load, run.site): run.length_m for run in draft.runs}
    for run in draft.runs:
        item = items.get(run.load, "")
        if given.get((item, run.site), run.length_m) != run.length_m:
            wrong = f"is measured to '{run.site}' here, and with all of '{item}' in another row"
            remedy = "Give the run of each load, or one for the item"
            yield Mistake(table="runs", row=run.name, field="load", value=run.load, wrong=wrong, remedy=remedy)
