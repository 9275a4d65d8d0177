"""Values of different objects that must agree: pins, share words, functions, spares, wires on the shelf."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.problem.draft import Draft
from allocator.problem.loads import Load
from allocator.problem.mistakes import Mistake
from allocator.problem.near_misses import suggestion
from allocator.problem.units import OutputClass


def agreements(draft: Draft) -> Iterator[Mistake]:
    """Every disagreement."""
    yield from _levels(draft)
    yield from _pins(draft)
    yield from _pins_taken_twice(draft)
    yield from _shares(draft)
    yield from _together(draft)
    yield from _survivors(draft)
    yield from _spares(draft)
    yield from _wires(draft)


def _levels(draft: Draft) -> Iterator[Mistake]:
    for load in draft.loads:
        if draft.conditions is not None and len(load.levels) != len(draft.conditions):
            yield Mistake(
                table="loads",
                row=load.name,
                field="levels",
                wrong=f"has {len(load.levels)} levels for {len(draft.conditions)} conditions",
                remedy="Give one level for each condition",
            )


def outputs_of(draft: Draft, unit: str | None) -> tuple[OutputClass, ...] | None:
    """Outputs of the type of a unit; None where either cannot be read."""
    found = draft.unit.get(unit or "")
    unit_type = None if found is None else draft.unit_type.get(found.type)
    return None if unit_type is None else unit_type.outputs


def _pins(draft: Draft) -> Iterator[Mistake]:
    """A pinned output must be a pin of the unit."""
    for load in draft.loads:
        outputs = outputs_of(draft, load.unit)
        if load.output is None or outputs is None:
            continue
        pins = {pin for output in outputs for pin in output.pins}
        if load.output not in pins:
            wrong = f"is not a pin of unit '{load.unit}'"
            yield of_load(load, "output", load.output, wrong, suggestion(load.output, pins, "pin"))


def _pins_taken_twice(draft: Draft) -> Iterator[Mistake]:
    first: dict[tuple[str, str], Load] = {}
    for load in draft.loads:
        if load.unit is None or load.output is None:
            continue
        other = first.setdefault((load.unit, load.output), load)
        if other is not load and (load.share is None or load.share != other.share):
            wrong = f"is taken by load '{other.name}' already"
            remedy = "Pin one of them elsewhere, or give both one share word"
            yield of_load(load, "output", load.output, wrong, remedy)


def of_load(load: Load, field: str, value: str, wrong: str, remedy: str) -> Mistake:
    """A mistake of a load.

    Parameters
    ----------
    load
        The load.
    field
        The column.
    value
        What is in the cell.
    wrong
        What is wrong with it.
    remedy
        What to do.
    """
    return Mistake(table="loads", row=load.name, field=field, value=value, wrong=wrong, remedy=remedy)


def _shares(draft: Draft) -> Iterator[Mistake]:
    """Loads of one share word are switched together, so they are on together."""
    first: dict[str, Load] = {}
    for load in draft.loads:
        if load.share is None:
            continue
        other = first.setdefault(load.share, load)
        if load.levels != other.levels:
            wrong = f"is shared with load '{other.name}', whose levels in the conditions differ"
            remedy = "Make the levels equal, or give another share word"
            yield of_load(load, "share", load.share, wrong, remedy)


def _together(draft: Draft) -> Iterator[Mistake]:
    first: dict[str, Load] = {}
    for load in draft.loads:
        if load.together is None or load.unit is None:
            continue
        other = first.setdefault(load.together, load)
        if load.unit != other.unit:
            wrong = f"is together with load '{other.name}', which is pinned to unit '{other.unit}'"
            yield of_load(load, "together", load.together, wrong, f"Pin both to one unit, not to '{load.unit}'")


def _survivors(draft: Draft) -> Iterator[Mistake]:
    """No more loads can survive than there are."""
    items: dict[str, set[str]] = {}
    for load in draft.loads:
        items.setdefault(load.item, set()).add(load.name)
    for function in draft.functions:
        members: set[str] = set()
        for name in function.loads:
            members |= items.get(name, {name})
        if function.survive > len(members):
            yield Mistake(
                table="functions",
                row=function.name,
                field="survive",
                value=str(function.survive),
                wrong=f"is more than the {len(members)} loads of the function",
                remedy=f"Give 1 to {len(members)}",
            )


def _spares(draft: Draft) -> Iterator[Mistake]:
    for unit in draft.units:
        outputs = outputs_of(draft, unit.name)
        if outputs is None:
            continue
        for name, count in unit.spare:
            there = sum(len(output.pins) for output in outputs if output.name == name)
            if there == 0:
                wrong = f"is not an output class of type '{unit.type}'"
                remedy = suggestion(name, [output.name for output in outputs], "class")
            elif count > there:
                wrong = f"is to keep {count} outputs free and has {there}"
                remedy = f"Ask for {there} at most"
            else:
                continue
            yield Mistake(table="units", row=unit.name, field="spare", value=name, wrong=wrong, remedy=remedy)


def _wires(draft: Draft) -> Iterator[Mistake]:
    """Sizes, classes and areas that are asked for must be in the tables."""
    if draft.wires is None or draft.feed_wires is None or draft.wire_rules is None:
        return
    sizes = {wire.size for wire in draft.wires.wires}
    for size in draft.wire_rules.sizes:
        if size not in sizes:
            wrong = f"is not a size of wire table '{draft.wires.name}'"
            remedy = suggestion(size, sizes, "size")
            yield Mistake(table="wire", field="sizes", value=size, wrong=wrong, remedy=remedy)
    largest = max(wire.area_mm2 for wire in draft.wires.wires)
    if draft.wire_rules.smallest_mm2 > largest * 1.005:
        wrong = f"is above the largest size of wire table '{draft.wires.name}', {largest:g} mm2"
        value = f"{draft.wire_rules.smallest_mm2:g} mm2"
        yield Mistake(table="wire", field="smallest", value=value, wrong=wrong, remedy="Allow a smaller size")
    sizes |= {wire.size for wire in draft.feed_wires.wires}
    for given in draft.given_wires:
        if given.size not in sizes:
            wrong = "is a size of neither wire table"
            remedy = suggestion(given.size, sizes, "size")
            yield Mistake(table="wires", row=given.name, field="size", value=given.size, wrong=wrong, remedy=remedy)
