"""Totals, wire by size, currents against limits, energy, defaults."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from allocator.analysis.energy import Energy
from allocator.analysis.energy import energy as energy_of
from allocator.analysis.unit_loading import loadings
from allocator.analysis.wire_lengths import BRANCH, FEED, GIVEN, lengths
from allocator.layout import Layout, Totals
from allocator.problem import Problem
from allocator.reporting.blocks import Block, Heading, Paragraph, counted, number
from allocator.table import Row, Table, count, figure, text

CONDITIONS_ABREAST = 4
DEFAULTS_SHOWN = 8
MARKS = {BRANCH: "", FEED: " (feed)", GIVEN: " (given)"}


def totals(layout: Layout) -> tuple[Block, ...]:
    """Copper, wire, length, outputs, units, splices."""
    sums = layout.totals
    if sums is None:
        return ()
    return (
        Heading("Totals"),
        Paragraph("\n".join(_total_lines(sums))),
        Table(
            columns=(
                text("wire", whole=True),
                text("insulation"),
                count("pieces"),
                figure("", "m"),
                figure("copper", "g", 1),
            ),
            rows=tuple(_by_size(layout)),
        ),
    )


def _total_lines(sums: Totals) -> Iterator[str]:
    yield (
        f"copper {number(sums.copper_g, 1)} g: branches {number(sums.branch_copper_g, 1)} g, "
        f"feeds {number(sums.feed_copper_g, 1)} g"
    )
    yield f"finished wire {number(sums.wire_g, 1)} g, length {number(sums.length_m)} m"
    yield (
        f"outputs: {sums.outputs_used} used, {sums.outputs_spare} spare, {sums.outputs_unused} unused; "
        f"{counted(sums.units_fitted, 'unit')} fitted, {counted(sums.splices, 'splice')}"
    )


def _by_size(layout: Layout) -> Iterator[Row]:
    """What to buy: sizes of branches, feeds and given wires, each from thin to thick."""
    for one in lengths(layout):
        rating = "" if one.insulation_c is None else f"{one.insulation_c:g} degC"
        yield f"{one.size}{MARKS[one.use]}", rating, one.pieces, one.length_m, one.copper_g


def currents(problem: Problem, layout: Layout) -> tuple[Block, ...]:
    """Amperes of every unit and bank, in every condition, against what is allowed."""
    loads = loadings(problem, layout)
    blocks: list[Block] = [Heading("Currents against limits, in A")]
    for first in range(0, len(problem.conditions), CONDITIONS_ABREAST):
        abreast = slice(first, first + CONDITIONS_ABREAST)
        columns = (
            text("unit, bank"),
            *(figure(_broken(condition)) for condition in problem.conditions[abreast]),
            figure("limit"),
            text("worst", right=True),
        )
        rows: tuple[Row, ...] = tuple(
            (
                loading.unit if loading.bank is None else f"  {loading.bank}",
                *loading.current_a[abreast],
                loading.limit_a,
                f"{100.0 * loading.use:.0f} %",
            )
            for loading in loads
        )
        blocks.append(Table(columns=columns, rows=rows))
    fitted = {loading.unit for loading in loads}
    kept = [unit for unit in problem.units if unit.spare_current_a and unit.name in fitted]
    if kept:
        reserved = ", ".join(f"{unit.name} {number(unit.spare_current_a)} A" for unit in kept)
        blocks.append(Paragraph(f"Kept in reserve, already taken off the limit: {reserved}.", "quiet"))
    return tuple(blocks)


def _broken(heading: str) -> str:
    """A heading over several short lines, so that its column is no wider than a number needs."""
    return "\n".join(wrap(heading, 10))


def energy(problem: Problem, layout: Layout) -> tuple[Block, ...]:
    """What each source gives in each condition, against what charges it, and the loads that use most of it."""
    whole = energy_of(problem, layout)
    found = whole.balances
    keys = ["source", "condition", "draw_a"]
    notes = ["Draw: stated currents x level x duty, a mean."]
    if any(balance.supply_a is not None for balance in found):
        keys += ["supply_a", "surplus_a"]
    if any(balance.capacity_ah is not None for balance in found):
        keys.append("hours_alone")
        notes.append(
            "Hours alone: from full to empty on the rated capacity with nothing charging; the usable share "
            "is smaller, and less still when cold, old or drawn hard."
        )
    users = tuple(Paragraph(f"* {line}") for line in _users(whole))
    return (Heading("Energy"), whole.table().only(*keys), *users, Paragraph(" ".join(notes), "quiet"))


def _users(whole: Energy) -> Iterator[str]:
    """The loads that use most of each source in each condition, one line a condition."""
    for balance in whole.balances:
        most = whole.most(balance.source, balance.condition)
        if most:
            listed = ", ".join(f"{use.load} {number(use.mean_a, 1)} A" for use in most)
            yield f"{balance.source}, {balance.condition}, most: {listed}"


def defaults(layout: Layout, shown: int | None = DEFAULTS_SHOWN) -> tuple[Block, ...]:
    """What the problem left open and what was taken; the first few, or all where ``shown`` is None."""
    if not layout.defaults:
        return ()
    listed = layout.defaults[:shown]
    left = len(layout.defaults) - len(listed)
    lines = [Paragraph(f"* {text}") for text in listed]
    if left:
        lines.append(Paragraph(f"* and {counted(left, 'more', 'more')}, all in the layout file", "quiet"))
    return Heading("Defaults that this layout rests on"), *lines
