"""What the reader of a problem refuses of the loads of a schedule, beyond what was found in reading the schedule."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.importing.schedule import OPEN, Finding, Schedule
from allocator.importing.tables import csv_text
from allocator.problem import Mistake
from allocator.reading.assembly import Assembly
from allocator.reading.raw import RawProblem
from allocator.reading.tables import csv_table

LOADS = "loads.csv"


def unannounced(schedule: Schedule) -> Iterator[Finding]:
    """A finding for each cell that the reader refuses and none tells of: so the import tells of all of them."""
    rows = [item.row for item in schedule.items]
    told = {(finding.row, finding.key) for finding in schedule.of_kind(OPEN)}
    for mistake in _mistakes(schedule):
        if not isinstance(mistake.row, int) or not 2 <= mistake.row < len(rows) + 2:
            continue
        row, key = rows[mistake.row - 2], mistake.field or ""
        if (row, key) not in told:
            told.add((row, key))
            remedy = f"{mistake.remedy[:1].lower()}{mistake.remedy[1:]}"
            yield Finding(OPEN, f"{mistake.wrong}: {remedy}", row, key, mistake.value or "", LOADS, key)


def _mistakes(schedule: Schedule) -> tuple[Mistake, ...]:
    mistakes: list[Mistake] = []
    volts = (("nominal", schedule.nominal_v), ("running", schedule.running_v), ("lowest", schedule.lowest_v))
    system: dict[str, object] = {key: f"{value:g} V" for key, value in volts}
    if schedule.conditions:
        system["conditions"] = list(schedule.conditions)
    raw = RawProblem(schedule.name, "problem.toml", {"system": system})
    raw.tables["loads"] = csv_table(LOADS, csv_text(schedule.load_records()).encode())
    Assembly(raw, mistakes).loads_alone()
    return tuple(mistake for mistake in mistakes if mistake.table == LOADS)
