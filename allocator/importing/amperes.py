"""Amperes of the items of a schedule, as the reader of a problem would take them."""

from __future__ import annotations

from allocator.importing.schedule import Schedule
from allocator.importing.schedule_rows import Item
from allocator.problem import Kind
from allocator.reading.loads import Volts, ampere
from allocator.reading.plain_values import chosen, read_count, read_current_or_power
from allocator.reading.quantities import UnreadableError


def current_a(schedule: Schedule, item: Item) -> float | None:
    """Amperes of one item; None where the schedule does not say."""
    volts = Volts(schedule.nominal_v, schedule.running_v, schedule.lowest_v)
    try:
        value, unit = read_current_or_power(item.current)
    except UnreadableError:
        return None
    kind = chosen(dict(item.own).get("kind", ""), Kind) or Kind.RESISTIVE
    return ampere(value, unit, kind, volts) if value > 0.0 else None


def count(item: Item) -> int | None:
    """How many there are; None where the schedule does not say."""
    try:
        number = read_count(item.number or "1")
    except UnreadableError:
        return None
    return number if number >= 1 else None
