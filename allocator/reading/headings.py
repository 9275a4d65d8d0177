"""The heading line of a table: which column is which, and in what unit."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from allocator.problem import Mistake
from allocator.problem.bounds import MOST_OF
from allocator.problem.near_misses import key_of, near_miss
from allocator.reading.quantities import Dimension, is_unit_of
from allocator.reading.record import Record
from allocator.reading.tables import RawTable

KEPT = "in the schedule: "
"""Before the heading of a column that keeps what an import has read already: it is not read, nor carried through."""
_HEADING = re.compile(r"(.*?)\s*\[([^\[\]]*)\]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """The columns a table may have. ``dimensions`` names those that may carry a unit in their heading.

    Conditions of the problem are further known columns, given in ``levels``. ``most``: how many rows are read.
    """

    needed: tuple[str, ...]
    optional: tuple[str, ...]
    dimensions: Mapping[str, tuple[Dimension, ...]]
    shares: tuple[str, ...] = ()
    levels: tuple[str, ...] = ()
    most: int = max(MOST_OF.values())

    @property
    def known(self) -> tuple[str, ...]:
        """All names that a column may have."""
        return (*self.needed, *self.optional, *self.levels)


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its known cells as a record, the others as they stand."""

    record: Record
    extra: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table whose headings are understood."""

    file: str
    heading_row: int
    found: frozenset[str]
    rows: tuple[Row, ...]
    mistakes: list[Mistake]

    def fail(self, column: str, wrong: str, remedy: str) -> None:
        """Record a mistake of the heading line."""
        self.mistakes.append(Mistake(table=self.file, row=self.heading_row, field=column, wrong=wrong, remedy=remedy))


def understood(table: RawTable, columns: Columns, mistakes: list[Mistake]) -> Sheet:
    """Match the headings of a table to the columns known, and hand out its rows as records."""
    if len(table.rows) > columns.most:
        wrong = f"has {len(table.rows):,} rows, more than the {columns.most:,} that are read"
        mistakes.append(Mistake(table=table.file, wrong=wrong, remedy="Keep only the rows that are needed"))
        table = replace(table, rows=())
    heading = _HeadingLine(table, columns, mistakes)
    missing = [name for name in columns.needed if name not in heading.places]
    for name in missing:
        heading.fail(name, f"There must be a column '{name}'", "is missing", None)
    absent = frozenset(missing)
    rows = []
    for number, cells in table.rows:
        full = cells + ("",) * (len(table.headings) - len(cells))
        values = {key: full[place] for key, place in heading.places.items()}
        record = Record(mistakes, table.file, number, values, heading.units, absent)
        if any(full[len(table.headings) :]):
            wrong = f"has {len(cells)} cells under {len(table.headings)} headings"
            record.fail(None, wrong, "Put a cell that contains the separator in quotation marks")
        extra = tuple((name, full[place]) for name, place in heading.extras)
        rows.append(Row(record, extra))
    return Sheet(table.file, table.heading_row, frozenset(heading.places), tuple(rows), mistakes)


class _HeadingLine:
    """Places of the known columns, their units, and the columns carried through."""

    def __init__(self, table: RawTable, columns: Columns, mistakes: list[Mistake]):
        self.table = table
        self.mistakes = mistakes
        self.columns = columns
        self.places: dict[str, int] = {}
        self.units: dict[str, str] = {}
        self.extras: list[tuple[str, int]] = []
        self._keys = {key_of(name): name for name in columns.known}
        nearly: list[tuple[str, str, int, str]] = []
        for place, heading in enumerate(table.headings):
            if heading.startswith(KEPT):
                continue
            name, unit = _split(heading)
            known = self._keys.get(key_of(name))
            if known is not None:
                self._place(known, place, unit)
            elif not name:
                self._unnamed(place)
            elif (near := near_miss(name, columns.known)) is not None:
                nearly.append((near, heading, place, unit))
            elif name in [other for other, _ in self.extras]:
                self.fail(heading, "Give each column a name of its own", "appears twice in the heading", None)
            else:
                self.extras.append((heading, place))
        for near, heading, place, unit in nearly:
            remedy = f"Write '{near}' if that is meant; if not, choose a name less like it"
            self.fail(heading, remedy, f"is nearly the known column '{near}'", None)
            if near not in self.places:
                self._place(near, place, unit)

    def fail(self, field: str, remedy: str, wrong: str, value: str | None) -> None:
        """Record a mistake of a heading.

        Parameters
        ----------
        field
            The column, or the heading as it is written.
        remedy
            What to do.
        wrong
            What is wrong with it.
        value
            What was read; None where it is the heading itself.
        """
        self.mistakes.append(
            Mistake(
                table=self.table.file,
                row=self.table.heading_row,
                field=field,
                value=value,
                wrong=wrong,
                remedy=remedy,
            )
        )

    def _place(self, known: str, place: int, unit: str) -> None:
        if known in self.places:
            self.fail(known, "Keep only one of the two columns", "appears twice in the heading", None)
            return
        self.places[known] = place
        if unit:
            self._unit(known, unit)

    def _unit(self, known: str, unit: str) -> None:
        if known in self.columns.shares or known in self.columns.levels:
            if unit == "%":
                self.units[known] = unit
            else:
                self.fail(known, "Write [%] or no unit", "is a share and takes no such unit", f"[{unit}]")
            return
        dimensions = self.columns.dimensions.get(known, ())
        if not dimensions:
            self.fail(known, f"Write the heading as '{known}'", "takes no unit", f"[{unit}]")
        elif unit == dimensions[0].unit or any(is_unit_of(unit, d) for d in dimensions):
            self.units[known] = unit
        else:
            units = " or ".join(d.unit for d in dimensions)
            self.fail(known, f"Name a unit such as {units}", "is not a unit for this column", f"[{unit}]")
            # read on as if the unit were right: the cells are not to blame
            self.units[known] = dimensions[0].unit

    def _unnamed(self, place: int) -> None:
        if any(len(cells) > place and cells[place] for _, cells in self.table.rows):
            self.fail(str(place + 1), "Give the column a heading, or empty it", "has no heading", None)


def _split(heading: str) -> tuple[str, str]:
    """A heading as its name and its unit (empty where it names none)."""
    found = _HEADING.fullmatch(heading.strip())
    return (found[1].strip(), found[2].strip()) if found else (heading.strip(), "")
