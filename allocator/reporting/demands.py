"""What a schedule calls for, as text and as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict

from allocator.load_demand import Demand
from allocator.reporting.blocks import Block, Heading, Paragraph, counted, short
from allocator.table import Table, count, figure, table_of, text

_NOTE = (
    "Ratings are standard steps, not those of a particular unit ('--steps' sets others). Each load is "
    "counted with outputs of "
    "its own; loads that may share one need fewer. Units, their sites and every wire are chosen by 'allocator solve'."
)


def shown(demand: Demand) -> Iterator[Block]:
    """Everything, in the order in which one asks."""
    outputs = sum(one.all_outputs for one in demand.loads)
    loads = sum(one.number for one in demand.loads)
    yield Heading(f"{demand.name}: {counted(loads, 'load')}, {counted(outputs, 'output')}")
    if demand.not_counted:
        yield Paragraph(f"Without {counted(len(demand.not_counted), 'row')} that cannot be counted yet:", "bad")
        yield from (Paragraph(f"* {told}") for told in demand.not_counted)
    yield _sizes(demand)
    parallel = _parallel(demand)
    yield parallel if parallel is not None else Heading("No load needs outputs in parallel")
    yield _conditions(demand)
    yield _places(demand)
    use, beside = f"{100 * demand.sizing.output_use:.3g} %", f"{100 * demand.sizing.parallel_use:.3g} %"
    if demand.said:
        yield Heading("How the schedule was read")
        yield from (Paragraph(f"* {said}") for said in demand.said)
    yield Heading("How it is counted")
    yield Paragraph(f"An output carries {use} of its rating, one beside others {beside} of that. {_NOTE}", "quiet")


def _reserve(demand: Demand) -> str:
    return f"with {100 * demand.reserve:.3g} % more"


def _sizes(demand: Demand) -> Table:
    return Table(
        title="Outputs by size",
        columns=(
            figure("rating", "A", significant=10), figure("carries", "A"), count("loads"), count("outputs"),
            count(_reserve(demand)),
        ),
        rows=tuple(
            (one.rating_a, one.rating_a * demand.sizing.output_use, one.loads, one.outputs, one.with_reserve)
            for one in demand.sizes
        ),
    )  # fmt: skip


def _parallel(demand: Demand) -> Table | None:
    rows = [one for one in demand.loads if one.parallel]
    if not rows:
        return None
    return Table(
        title="Loads that need outputs in parallel",
        columns=(text("load"), text("place"), figure("", "A"), text("outputs of each", right=True)),
        rows=tuple(
            (_named(one.load, one.number), one.place, one.current_a, f"{one.outputs} x {short(one.rating_a)} A")
            for one in rows
        ),
    )


def _named(load: str, count: int) -> str:
    return load if count == 1 else f"{load} (each of {count})"


def _conditions(demand: Demand) -> Table:
    reserved = figure(_reserve(demand), key="with_reserve_a")
    columns = (text("condition"), figure("", "A", key="current_a"), reserved)
    return table_of(columns, demand.conditions, title="Amperes by condition")


def _places(demand: Demand) -> Table:
    return Table(
        title="By place, all loads on",
        columns=(text("place"), count("outputs"), figure("", "A")),
        rows=tuple((one.place or "(none given)", one.outputs, one.current_a) for one in demand.places),
    )


def as_json(demand: Demand) -> str:
    """Everything for programs."""
    record = {
        "name": demand.name,
        "steps_a": list(demand.sizing.steps_a),
        "output_use": demand.sizing.output_use,
        "parallel_use": demand.sizing.parallel_use,
        "reserve": demand.reserve,
        "sizes": [asdict(size) for size in demand.sizes],
        "conditions": [asdict(condition) for condition in demand.conditions],
        "places": [asdict(place) for place in demand.places],
        "loads": [asdict(load) for load in demand.loads],
        "not_counted": list(demand.not_counted),
        "said": list(demand.said),
    }
    return json.dumps(record, indent=1, ensure_ascii=False) + "\n"
