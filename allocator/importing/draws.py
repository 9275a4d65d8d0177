"""What one item draws, from the columns that say it: never guessed, and what was settled is said."""

from __future__ import annotations

from dataclasses import dataclass

from allocator.importing import vocabulary as words
from allocator.importing.columns import Column, Columns
from allocator.importing.figures import Figure, NotKnownError
from allocator.importing.grid import GridCell
from allocator.importing.schedule import ASSUMED, LOOK, OPEN, Finding
from allocator.reading.loads import Volts

OPEN_MARK = " ?"  # behind a figure that is not to be believed: no reader takes it for a quantity
MOST_A = 500.0  # above this a figure is rather written wrong: common practice, no source
_FAR = 0.25  # amperes and watts of one row may differ by this share before it is said


@dataclass(frozen=True, slots=True)
class Draw:
    """The text for ``current``, and whether it says what the item draws."""

    text: str
    known: bool


class RowDraw:
    """Reads what one row draws; ``findings`` takes what is to be said of it."""

    def __init__(
        self, row: int, cells: tuple[GridCell, ...], columns: Columns, mark: str | None, findings: list[Finding]
    ):
        self.row = row
        self.cells = cells
        self.columns = columns
        self.mark = mark
        self.findings = findings
        self.bare: set[str] = set()  # headings over figures without a unit anywhere

    def draw(self, count: int | None, volts: Volts) -> Draw:
        """The current, or the power, of one item of the row. ``count`` is None where it cannot be told."""
        other_volts = self._other_volts(volts)
        if other_volts is not None:
            return other_volts
        refused: list[tuple[Column, GridCell, str]] = []
        for role in (words.HIGHEST, words.CURRENT, words.POWER):
            found = self._figure(role, refused, volts)
            if found is not None:
                self._compare(role, found, volts)
                self._told_of(refused, found)
                return Draw(found.text(), True)
        for role in (words.TOTAL_CURRENT, words.TOTAL_POWER):
            found = self._figure(role, refused, volts)
            if found is not None:
                return self._shared_out(role, found, count, refused)
        return self._open(refused)

    def _figure(self, role: str, refused: list[tuple[Column, GridCell, str]], volts: Volts) -> Figure | None:
        column = self.columns.of(role)
        if column is None:
            return None
        cell = self.columns.cell(self.cells, role)
        try:
            found = self._read(cell, column, volts)
        except NotKnownError as why:
            refused.append((column, cell, str(why)))
            return None
        for said in found.said:
            self._say(ASSUMED, column, cell, f"{said}, {found.text()}")
        for ignored in found.ignored:
            self._say(ASSUMED, column, cell, ignored)
        return found

    def _read(self, cell: GridCell, column: Column, volts: Volts) -> Figure:
        if cell.unread:
            raise NotKnownError(cell.unread)
        if cell.merged is not None:
            first, last = cell.merged
            raise NotKnownError(f"is one cell over rows {first} to {last}: for each of them, or all together")
        found = cell.figure(self.mark)
        unit = found.unit or column.meaning.unit
        if not unit:
            unit = words.likely_unit(column.role)
            self.bare.add(column.heading)
        if unit not in ("A", "mA", "W", "kW"):
            raise NotKnownError(f"is in {unit}, and neither a current nor a power")
        if found.value <= 0.0:
            raise NotKnownError("is zero, and an item that draws nothing needs no output")
        amperes = found.value * {"A": 1.0, "mA": 0.001, "W": 1.0 / volts.lowest, "kW": 1000.0 / volts.lowest}[unit]
        if amperes > MOST_A:
            raise NotKnownError(f"comes to {found.value:.10g} {unit}, more than one item draws at {volts.nominal:g} V")
        stated_v = found.at_volts or column.meaning.at_volts
        if stated_v is not None and not volts.like(stated_v):
            raise NotKnownError(f"is stated at {stated_v:g} V, not at the {volts.nominal:g} V of this system")
        return Figure(found.value, unit, found.said, ignored=found.ignored)

    def _other_volts(self, volts: Volts) -> Draw | None:
        """An item of another voltage: what it draws from this system no schedule says."""
        column = self.columns.of(words.VOLTAGE)
        cell = self.columns.cell(self.cells, words.VOLTAGE)
        if column is None or not cell.text:
            return None
        try:
            stated = cell.figure(self.mark)
        except NotKnownError:
            return None
        if stated.unit not in ("", "V") or volts.like(stated.value):
            return None
        drawn = next((text for role in (words.CURRENT, words.POWER) if (text := self._text(role))), "")
        unit = "" if stated.unit else " V"
        written = f"{drawn} at {cell.text}{unit}".strip()
        said = f"is not the {volts.nominal:g} V of this system: give what it draws there, with its converter"
        self._say(OPEN, column, cell, said, "current")
        return Draw(written, False)

    def _text(self, role: str) -> str:
        return self.columns.cell(self.cells, role).text

    def _compare(self, role: str, found: Figure, volts: Volts) -> None:
        """Amperes and watts of one row must fit the voltage."""
        column = self.columns.of(words.POWER)
        if role == words.POWER or column is None:
            return
        try:
            power = self._read(self.columns.cell(self.cells, words.POWER), column, volts)
        except NotKnownError:
            return
        watts = power.value * {"kW": 1000.0, "W": 1.0}.get(power.unit, 0.0)
        amperes = found.value * {"mA": 0.001, "A": 1.0}.get(found.unit, 0.0)
        if not amperes or not watts:
            return
        meant = watts / amperes
        if not volts.lowest * (1.0 - _FAR) <= meant <= volts.running * (1.0 + _FAR):
            said = f"and {found.text()} would be {meant:.3g} V: one of the two is wrong; the amperes are used"
            self._say(LOOK, column, self.columns.cell(self.cells, words.POWER), said)

    def _told_of(self, refused: list[tuple[Column, GridCell, str]], found: Figure) -> None:
        for column, cell, why in refused:
            if cell.text:
                self._say(ASSUMED, column, cell, f"{why}; {found.text()} of another column is used")

    def _shared_out(
        self, role: str, found: Figure, count: int | None, refused: list[tuple[Column, GridCell, str]]
    ) -> Draw:
        """A row that gives only what all its items draw together."""
        column = self.columns.of(role)
        assert column is not None
        cell = self.columns.cell(self.cells, role)
        if count is None:
            refused.append((column, cell, "is for all items together, and how many there are is not known"))
            return self._open(refused)
        one = Figure(round(found.value / count, 6), found.unit)
        if count > 1:
            self._say(ASSUMED, column, cell, f"is for all {count} together: {one.text()} each")
        return Draw(one.text(), True)

    def _open(self, refused: list[tuple[Column, GridCell, str]]) -> Draw:
        """Nothing could be told: the cell stays as it was written, and is refused as it stands."""
        # the cell that says something says more than an empty one
        column, cell, why = next((one for one in refused if one[1].text), refused[0])
        self._say(OPEN, column, cell, f"{why}: give what one item draws", "current")
        return Draw(untaken(cell.text), False)

    def _say(self, kind: str, column: Column, cell: GridCell, said: str, key: str = "") -> None:
        file = "loads.csv" if key else ""
        self.findings.append(Finding(kind, said, self.row, column.heading, cell.text, file, key))


def untaken(text: str) -> str:
    """A text as it was written, in a way that no reader takes for a quantity."""
    return f"{text}{OPEN_MARK}" if text and text[0].isdigit() and "?" not in text else text
