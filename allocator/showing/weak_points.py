"""Where a layout is weakest: volts at the loads, and the margins that are used up most."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict

from allocator.advising.margins import Margin, Margins, margins_of
from allocator.checking.context import Context
from allocator.checking.volts import Volts, volts_of
from allocator.showing.blocks import Block, Column, Heading, Paragraph, Table, counted, number
from allocator.showing.records import Record

LOADS_SHOWN = 5


def weak_points(context: Context) -> tuple[Block, ...]:
    """The loads with the lowest volts, then the weakest margins with what would relieve each."""
    return (*volts_table(volts_of(context)), *margins_listed(margins_of(context)))


def volt_records(found: Volts) -> list[Record]:
    """One record per load and condition: current in A, the rest in V."""
    return [_rounded(asdict(one)) for one in found.loads]


def margin_records(found: Margins) -> list[Record]:
    """One record per wire, feeds and cores of given wires too: currents in A, shares of 1."""
    return [_rounded(asdict(one)) for one in found.wires]


def _rounded(record: Record) -> Record:
    return {key: round(value, 4) if isinstance(value, float) else value for key, value in record.items()}


def volts_table(found: Volts) -> tuple[Block, ...]:
    """The few loads with the lowest volts at their terminals, each in its worst condition; nothing without any."""
    worst = found.worst
    if not worst and not found.unknown:
        return ()
    rows = tuple(
        (
            one.load,
            one.condition,
            number(one.volts_v),
            number(one.lowest_v),
            number(one.drop_v, 3),
            number(one.limit_v, 3),
        )
        for one in worst[:LOADS_SHOWN]
    )
    columns = (
        Column(heading="lowest of all"),
        Column(heading="in"),
        Column(heading="V\nrunning", number=True),
        Column(heading="V at\nlowest", number=True),
        Column(heading="lost on\nits wires", number=True),
        Column(heading="may\nlose", number=True),
    )
    tables = (Table(title="", columns=columns, rows=rows),) if rows else ()
    notes = " ".join(_left_out(len(worst) - len(rows), found.unknown))
    return (Heading("Volts at the load"), *tables, *((Paragraph(notes, "quiet"),) if notes else ()))


def _left_out(others: int, unknown: tuple[str, ...]) -> Iterator[str]:
    if others:
        yield f"The other {counted(others, 'load has', 'loads have')} no less."
    if unknown:
        more = len(unknown) - LOADS_SHOWN
        names = ", ".join(unknown[:LOADS_SHOWN]) + (f" and {more} more" if more > 0 else "")
        yield f"Not told, as some of their wires are not known: {names}."


def margins_listed(found: Margins) -> tuple[Block, ...]:
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
    return f"{one.kind}, {one.object}{alike}: {figures}. Relief: {one.relief}."
