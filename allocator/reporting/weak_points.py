"""Where a layout is weakest: volts at the loads, and the margins that are used up most."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from allocator.analysis.margins import TRIP, LayoutMargins, Margin, margins_of
from allocator.evaluation.context import Context
from allocator.evaluation.network_volts import NetworkVolts, volts_of
from allocator.reporting.blocks import Block, Heading, Paragraph, counted
from allocator.table import Table, figure, table_of, text

LOADS_SHOWN = 5
_VOLTS = (
    text("lowest of all", key="load"), text("in", key="condition"), figure("V\nrunning", key="volts_v"),
    figure("V at\nlowest", key="lowest_v"), figure("lost on\nits wires", digits=3, key="drop_v"),
    figure("may\nlose", digits=3, key="limit_v"),
)  # fmt: skip


def weak_points(context: Context) -> tuple[Block, ...]:
    """The loads with the lowest volts, then the weakest margins with what would relieve each."""
    return (*volts_table(volts_of(context)), *margins_listed(margins_of(context)))


def rounded(one: Table) -> Table:
    """A table without digits that say nothing: volts, amperes, shares of 1."""
    rows = (tuple(round(cell, 4) if isinstance(cell, float) else cell for cell in row) for row in one.rows)
    return replace(one, rows=tuple(rows))


def volts_table(found: NetworkVolts) -> tuple[Block, ...]:
    """The few loads with the lowest volts at their terminals, each in its worst condition; nothing without any."""
    worst = found.worst
    if not worst and not found.unknown:
        return ()
    shown = worst[:LOADS_SHOWN]
    tables = (table_of(_VOLTS, shown),) if shown else ()
    notes = " ".join(_left_out(len(worst) - len(shown), found.unknown))
    return (Heading("Volts at the load"), *tables, *((Paragraph(notes, "quiet"),) if notes else ()))


def _left_out(others: int, unknown: tuple[str, ...]) -> Iterator[str]:
    if others:
        yield f"The other {counted(others, 'load has', 'loads have')} no less."
    if unknown:
        more = len(unknown) - LOADS_SHOWN
        names = ", ".join(unknown[:LOADS_SHOWN]) + (f" and {more} more" if more > 0 else "")
        yield f"Not shown, because some of their wires are not known: {names}."


def margins_listed(found: LayoutMargins) -> tuple[Block, ...]:
    """The weakest margins, two lines each; nothing without any."""
    weakest = found.weakest()
    if not weakest:
        return ()
    return (Heading("Weakest margins"), *(Paragraph(f"* {margin_sentence(one)}") for one in weakest))


def margin_sentence(one: Margin) -> str:
    """A margin, what is used of it and what would relieve it."""
    alike = f" and {counted(one.alike, 'other')}" if one.alike else ""
    used = f"{100.0 * one.used:.1f} % used" if one.limit > 0.0 else "none left"
    figures = f"{one.value:.4g} of {one.limit:.4g} {one.unit}, {used}"
    if one.kind == TRIP:
        figures = f"trip {one.limit:.4g} A, {one.value:.4g} A needed"
    return f"{one.kind}, {one.object}{alike}: {figures}. Relief: {one.relief}."
