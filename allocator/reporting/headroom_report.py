"""What may still be added to a layout."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, replace
from typing import Any

from allocator.analysis.headroom import FreeOutputs, Headroom, enlarged_data
from allocator.analysis.larger_after_revision import Enlarged
from allocator.analysis.largest_load import LargestLoad
from allocator.reporting.blocks import Block, Heading, Paragraph, counted, number
from allocator.table import Row, Table, count, figure, text

_ROOMS = (text("unit, bank"), figure("A left"), text("tightest in"), text("held by"))
_OUTPUTS = (text("unit, bank"), text("class"), count("unused"), count("spare"), figure("A each"))
MOVED = (
    "Where circuits are moved, units stay at their sites; feeds and fuses may be remade. Currents were halved until "
    "the next step did not fit: a larger one than that was not tried."
)


def room(found: Headroom) -> tuple[Block, ...]:
    """Amperes of each unit and bank in its tightest condition, free outputs, the largest load at each place."""
    free = tuple(_free(one) for one in found.outputs if one.free)
    return (
        Heading("What may still be added, on top of what is kept in reserve"),
        Table(columns=_ROOMS, rows=tuple(_tightest(found))),
        *((Table(columns=_OUTPUTS, rows=free),) if free else ()),
        *(Paragraph(f"* {_largest(one)}") for one in found.largest),
        *(Paragraph(f"* {_enlarged(one)}") for one in found.enlarged),
        Paragraph(
            "The load is assumed resistive and on in every condition; nothing in the layout moves, fuses stay. "
            "With the load named the check finds nothing new; one step more fits no output by any route and "
            "wire listed.",
            "quiet",
        ),
        *((Paragraph(MOVED, "quiet"),) if found.enlarged else ()),
    )


def _tightest(found: Headroom) -> Iterator[Row]:
    for unit, bank in dict.fromkeys((one.unit, one.bank) for one in found.rooms):
        own = (one for one in found.rooms if (one.unit, one.bank) == (unit, bank))
        least = min(own, key=lambda one: one.room_a)
        yield unit if bank is None else f"  {bank}", least.room_a, least.condition, least.held_by


def _free(one: FreeOutputs) -> Row:
    where = one.unit if one.bank is None else f"{one.unit}, {one.bank}"
    return where, one.output_class, one.free - one.spare, one.spare, one.each_a


def _largest(one: LargestLoad) -> str:
    stopped = f"Why not {one.current_a + one.step_a:g} A: {'; '.join(one.stopped_by)}."
    if one.circuit is None:
        return f"at {one.place}: not even {one.step_a:g} A. {stopped}"
    fed = f"unit {one.circuit.unit}, output {', '.join(one.circuit.pins)}"
    sizes = ", ".join(dict.fromkeys(wire.size for wire in one.circuit.wires))
    return f"at {one.place}: {one.current_a:g} A at most, from {fed} by {sizes}. {stopped}"


def _enlarged(one: Enlarged) -> str:
    said = {"nothing-found": "no layout was found in the time", "infeasible": "impossible"}
    above = [f"{current:g} A: {said.get(status, status)}" for current, status in one.tried if current > one.current_a]
    stopped = (
        f" ({min(above, key=lambda text: float(text.split()[0]))})" if above else ", the most that its outputs carry"
    )
    if one.layout is None:
        return f"at {one.place}, with circuits moved: no more{stopped}."
    if one.revision is None:
        return f"at {one.place}, with circuits moved: {one.current_a:g} A{stopped}; its moves were not worked out."
    made = f"{counted(one.revision.moves, 'move')} and {number(one.revision.new_copper_g, 1)} g of copper to be made"
    return f"at {one.place}, with circuits moved: {one.current_a:g} A{stopped}, by {made}."


def room_as_data(found: Headroom) -> dict[str, Any]:
    """The same for programs, in full; of what a revision makes room for its figures, not its layout."""
    return asdict(replace(found, enlarged=())) | {"enlarged": [enlarged_data(one) for one in found.enlarged]}
