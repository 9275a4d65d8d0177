"""Sums of the columns of a schedule, to tell a total that nobody called one."""

from __future__ import annotations

from allocator.importing import vocabulary as words
from allocator.importing.columns import Columns
from allocator.importing.figures import NotKnownError
from allocator.importing.grid import GridCell
from allocator.importing.marks import counted_name, how_many

_NEAR = 0.005  # a share: totals are rounded


class TotalRows:
    """Sums so far, since the beginning and since the last total, of items once and as many times as there are."""

    def __init__(self, columns: Columns, mark: str | None):
        self.columns = columns
        self.mark = mark
        self._from_first = {role: [0.0, 0.0] for role in words.DRAWS}
        self._from_total = {role: [0.0, 0.0] for role in words.DRAWS}

    def add(self, cells: tuple[GridCell, ...]) -> None:
        """Take in an item."""
        counted = counted_name(self.columns.cell(cells, words.NAME).text)
        written = self.columns.cell(cells, words.NUMBER_OFF).text or (counted[0] if counted else "")
        count = float(how_many(written) or 1)
        for role in words.DRAWS:
            value = self._value(cells, role)
            for sums in (self._from_first, self._from_total):
                sums[role][0] += value
                sums[role][1] += value * count

    def total(self) -> None:
        """Begin again after a total."""
        self._from_total = {role: [0.0, 0.0] for role in words.DRAWS}

    def match(self, cells: tuple[GridCell, ...]) -> bool:
        """Whether a row without a name holds nothing but the sum of what stands above it."""
        if self.columns.cell(cells, words.NAME).text or self.columns.cell(cells, words.PLACE).text:
            return False
        filled = [role for role in words.DRAWS if self._value(cells, role) > 0.0]
        return bool(filled) and all(self._is_sum(role, self._value(cells, role)) for role in filled)

    def mismatch(self, cells: tuple[GridCell, ...]) -> str:
        """What the rows above a total come to, where that is another figure than it gives."""
        for role in words.DRAWS:
            value = self._value(cells, role)
            if value > 0.0 and not self._is_sum(role, value):
                each, all_of_them = self._from_total[role]
                both = f"{each:.6g}" if each == all_of_them else f"{each:.6g}, or {all_of_them:.6g} by their number"
                return f"the rows above it come to {both}: see that none is missing"
        return ""

    def _is_sum(self, role: str, value: float) -> bool:
        sums = (*self._from_first[role], *self._from_total[role])
        return any(abs(value - one) <= _NEAR * value for one in sums)

    def _value(self, cells: tuple[GridCell, ...], role: str) -> float:
        cell = self.columns.cell(cells, role)
        try:
            found = cell.figure(self.mark)
        except NotKnownError:
            return 0.0
        column = self.columns.of(role)
        unit = found.unit or (column.meaning.unit if column is not None else "")
        return found.value * {"kW": 1000.0, "mA": 0.001}.get(unit, 1.0)
