"""A schedule that is understood, as frozen objects: its items, and what could not be told, was assumed or left out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from allocator.importing.load_records import Records, load_records
from allocator.importing.schedule_rows import Item, ReadColumn

if TYPE_CHECKING:
    from pandas import DataFrame

OPEN, LOOK, ASSUMED, LEFT_OUT = "to fill in", "look at", "assumed", "left out"
KINDS = (OPEN, LOOK, ASSUMED, LEFT_OUT)
"""What a finding may be: `OPEN` is what ``solve`` refuses until it is filled in."""
_KEYS = ("kind", "row", "column", "cell", "said", "file", "key")


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that a reader of the schedule should know. Rows count as in the schedule.

    ``file`` and ``key`` say where in the folder it is to be filled in, for what is `OPEN`.
    """

    kind: str
    said: str
    row: int | None = None
    column: str = ""
    cell: str = ""
    file: str = ""
    key: str = ""

    def __str__(self) -> str:
        where = [] if self.row is None else [f"row {self.row}"]
        if self.column:
            where.append(self.column)
        cell = f" '{self.cell}'" if self.cell else ""
        head = ", ".join(where) + cell
        return f"{head}: {self.said}" if head else self.said

    def record(self) -> dict[str, object]:
        """Its fields, what it is of before what is said."""
        return {key: getattr(self, key) for key in _KEYS}


def listed_rows(rows: list[int]) -> str:
    """Rows in a sentence, those in succession as one span."""
    spans: list[tuple[int, int]] = []
    for row in rows:
        if spans and row == spans[-1][1] + 1:
            spans[-1] = (spans[-1][0], row)
        else:
            spans.append((row, row))
    shown = ", ".join(str(first) if first == last else f"{first}-{last}" for first, last in spans)
    return f"row{'s' * (len(rows) > 1)} {shown}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """What a schedule says. Voltages in V; where they were assumed a finding says so."""

    file: str
    sheet: str
    name: str
    items: tuple[Item, ...]
    columns: tuple[ReadColumn, ...]
    findings: tuple[Finding, ...]
    conditions: tuple[str, ...] = ()
    nominal_v: float = 12.0
    running_v: float = 13.6
    lowest_v: float = 11.5
    gauges: bool = False
    heading_row: int = 1

    def of_kind(self, kind: str) -> tuple[Finding, ...]:
        """Findings of one kind."""
        return tuple(finding for finding in self.findings if finding.kind == kind)

    def load_records(self) -> Records:
        """Rows of ``loads.csv``."""
        return load_records(self.items, self.columns, self.conditions)

    def frame(self) -> DataFrame:
        """One row per item, with the columns that ``loads.csv`` gets."""
        from pandas import DataFrame

        return DataFrame(self.load_records())

    def findings_frame(self) -> DataFrame:
        """One row per finding: kind, row, column, cell, what is said, and where it is to be filled in."""
        from pandas import DataFrame

        return DataFrame([finding.record() for finding in self.findings], columns=_KEYS)
