"""One line of a schedule as an item."""

from __future__ import annotations

import re
from collections.abc import Iterator

from allocator.importing import vocabulary as words
from allocator.importing.columns import Column, Columns
from allocator.importing.draws import RowDraw, untaken
from allocator.importing.figures import NotKnownError, number
from allocator.importing.grid import EMPTY, GridCell
from allocator.importing.lines import Line
from allocator.importing.marks import counted_name, how_many, is_ditto, level_of, yes_or_no
from allocator.importing.schedule import ASSUMED, LOOK, OPEN, Finding, listed_rows
from allocator.importing.schedule_rows import Item
from allocator.problem import CHASSIS, SOURCE
from allocator.reading.loads import LOAD_COLUMNS, Volts
from allocator.reading.quantities import LENGTH, TEMPERATURE, UnreadableError, read_quantity

_HINTS = {
    "dim": ("dim", "dimmer", "dimmed", "dimmable", "pwm"),
    "bridge": ("reverse", "reverses", "reversing", "reversible", "up/down", "in/out"),
}
"""Words of remarks that may ask for a capability of the output."""
_OF_BACKING = re.compile(
    r"\brevers(?:e|ing)[\s-]+"
    r"(?:lamp|light|camera|cam|monitor|screen|display|alarm|beeper|bleeper|buzzer|bell|sounder|sensor|radar|aid)s?\b"
)
"""What is on while a vehicle backs: nothing in it turns the other way."""
_UNITS = {"inrush": "A", "stall": "A", "max_trip": "A", "inrush_time": "", "lead": "", "min_volts": "V"}
_DIMENSIONS = {words.AMBIENT: TEMPERATURE, words.LENGTH: LENGTH}
_SHARES = LOAD_COLUMNS.shares


class ItemReader:
    """Reads lines one after the other; ``findings`` takes what is to be said of them.

    Parameters
    ----------
    columns
        What each column is.
    mark
        Decimal mark of figures that are typed as text.
    volts
        Of the system.
    ticked
        Columns of conditions that are ticked: an empty cell there means off.
    findings
        Added to.
    """

    def __init__(
        self, columns: Columns, mark: str | None, volts: Volts, ticked: frozenset[int], findings: list[Finding]
    ):
        self.columns = columns
        self.mark = mark
        self.volts = volts
        self.ticked = ticked
        self.findings = findings
        self._above: tuple[GridCell, ...] = ()
        self._without_number: list[int] = []
        self._several: list[int] = []
        self._watts: list[int] = []
        self._bare: set[str] = set()
        self._sections = False
        self._by_section = columns.of(words.PLACE) is None

    def item(self, line: Line) -> Item:
        """The item of a line."""
        cells = self._without_ditto(line)
        name, number_text = self._name(line, cells)
        number_text, count = self._number(line.row, cells, number_text)
        row_draw = RowDraw(line.row, cells, self.columns, self.mark, self.findings)
        draw = row_draw.draw(count, self.volts)
        self._bare |= row_draw.bare
        if draw.known and draw.text.endswith("W"):
            self._watts.append(line.row)
        if draw.known and count is not None and count > 1 and not self._said_each():
            self._several.append(line.row)
        self._hint(line.row, cells)
        return Item(
            row=line.row,
            name=name,
            place=self._place(line, cells),
            number=number_text,
            current=draw.text,
            levels=tuple(self._levels(cells)),
            own=tuple(self._own(line.row, cells)),
            in_hand=yes_or_no(self.columns.cell(cells, words.IN_HAND).text),
            section=line.section,
            ambient=self._quantity(line.row, cells, words.AMBIENT),
            length=self._length(line.row, cells),
            original=tuple((column.heading, column.cell(line.cells).text) for column in self.columns.all),
        )

    def say_what_holds_throughout(self) -> None:
        """What was assumed of many rows alike is said once."""
        if self.columns.of(words.NUMBER_OFF) is None:
            self.findings.append(Finding(LOOK, "no column says how many there are of an item: one of each is assumed"))
        elif self._without_number:
            self._all(f"no number is given: one item in {listed_rows(self._without_number)}")
        if self._several:
            self._all(f"the figure of a row is what one of its items draws, in {listed_rows(self._several)}")
        for column in self.columns.all:
            if column.heading in self._bare:
                self._all(f"bare figures under '{column.heading}' are in {words.likely_unit(column.role)}")
        if self._watts:
            said = "watts are those of a resistive load, which draws more than another as the voltage rises"
            other = "electronics and LED lamps are 'constant power': say so in a column 'kind' of loads.csv"
            self._all(f"{said}: {listed_rows(self._watts)}; {other}")
        if self._by_section:
            self._say_that_no_column_is_a_place()
        for column in self.columns.every(words.CONDITION):
            off = "an empty cell means off" if column.place in self.ticked else "an empty cell means on"
            self.findings.append(Finding(ASSUMED, f"is an operating condition; {off}", column=column.heading))
        for role, said in (
            (words.WIRE, "wire sizes of the schedule are carried along, not used: sizes are chosen by 'solve'"),
            (words.FUSE, "fuses of the schedule are carried along, not used: 'max_trip' is for what a lead allows"),
            (words.ENERGY, "hours and energy are carried along, not used"),
        ):
            for unused in self.columns.every(role):
                self.findings.append(Finding(ASSUMED, said, column=unused.heading))

    def _say_that_no_column_is_a_place(self) -> None:
        """Where a column does hold places, its heading was not understood: the columns that may be it are named."""
        others = (column.heading for column in self.columns.every(words.OTHER))
        carried = [f"'{heading}'" for heading in others if not words.of_no_use(heading)]
        remedy = f"; if {' or '.join(carried)} does, head it 'Place' and import again" if carried else ""
        if self._sections:
            taken = "the section that they are under is taken as their place"
            self._all(f"no column says where items are: {taken}{remedy}")
        elif carried:
            self.findings.append(Finding(LOOK, f"no column says where items are{remedy}"))

    def _all(self, said: str) -> None:
        self.findings.append(Finding(ASSUMED, said))

    def _without_ditto(self, line: Line) -> tuple[GridCell, ...]:
        """Cells with those that say 'as above' filled from above."""
        cells = []
        for place, cell in enumerate(line.cells):
            above = self._above[place] if place < len(self._above) else EMPTY
            if is_ditto(cell.text) and above.text:
                heading = next((column.heading for column in self.columns.all if column.place == place), "")
                said = f"means the same as above, '{above.text}'"
                self.findings.append(Finding(ASSUMED, said, line.row, heading, cell.text))
                cell = above
            cells.append(cell)
        self._above = tuple(cells)
        return self._above

    def _name(self, line: Line, cells: tuple[GridCell, ...]) -> tuple[str, str]:
        """Name and, where the name begins with it, the number of items."""
        text = self.columns.cell(cells, words.NAME).text
        if not text:
            self._fill_in(line.row, words.NAME, text, "no name: give the item one", "load")
            return "", ""
        counted = counted_name(text)
        if counted is not None and not self.columns.cell(cells, words.NUMBER_OFF).text:
            self._row(ASSUMED, line.row, words.NAME, text, f"is {counted[0]} of '{counted[1]}'")
            text, number_text = counted[1], counted[0]
        else:
            number_text = ""
        return self._fit_for_lists(line.row, words.NAME, text), number_text

    def _fit_for_lists(self, row: int, role: str, text: str) -> str:
        """A name without what parts names in lists, and without what cannot be printed."""
        fit = "".join(letter if letter.isprintable() else "?" for letter in text.replace(";", ","))
        if fit != text:
            self._row(ASSUMED, row, role, text, f"cannot be written like that in a list: '{fit}'")
        return fit

    def _number(self, row: int, cells: tuple[GridCell, ...], from_name: str) -> tuple[str, int | None]:
        text = from_name or self.columns.cell(cells, words.NUMBER_OFF).text
        if not text:
            self._without_number.append(row)
            return "", 1
        count = how_many(text)
        if count is None or int(count) < 1:
            self._fill_in(row, words.NUMBER_OFF, text, "is not a number of items: give how many there are", "quantity")
            return text, None
        return count, int(count)

    def _said_each(self) -> bool:
        """Whether headings leave no doubt that figures are of one item."""
        drawn = [c for c in self.columns.all if c.role in (words.CURRENT, words.HIGHEST, words.POWER)]
        totals = self.columns.of(words.TOTAL_CURRENT) or self.columns.of(words.TOTAL_POWER)
        return totals is not None or any(column.meaning.each for column in drawn)

    def _place(self, line: Line, cells: tuple[GridCell, ...]) -> str:
        self._sections = self._sections or bool(line.section)
        text = line.section if self._by_section else self.columns.cell(cells, words.PLACE).text
        if not text:
            self._fill_in(line.row, words.PLACE, text, "no place: say where it sits", "place")
        place = self._fit_for_lists(line.row, words.PLACE, text)
        if place.lower() in (CHASSIS, SOURCE):
            self._row(ASSUMED, line.row, words.PLACE, text, f"is a reserved word here: '{place} place'")
            return f"{place} place"
        return place

    def _levels(self, cells: tuple[GridCell, ...]) -> Iterator[str]:
        for column in self.columns.every(words.CONDITION):
            text = column.cell(cells).text
            yield (level_of(text, self.mark) or text) if text else ("0" if column.place in self.ticked else "")

    def _own(self, row: int, cells: tuple[GridCell, ...]) -> Iterator[tuple[str, str]]:
        """Columns of ``loads.csv`` that the schedule has under that or another name."""
        for column in self.columns.all:
            if column.meaning.own:
                cell = column.cell(cells)
                yield column.meaning.own, self._own_text(row, column, cell)
                if column.meaning.own == "inrush" and cell.text:
                    self._start_without_time(row, column, cell, cells)

    def _own_text(self, row: int, column: Column, cell: GridCell) -> str:
        own = column.meaning.own
        if not cell.text or (own not in _UNITS and own not in _SHARES):
            return cell.text
        try:
            if own in _SHARES:
                bare = cell.text.removesuffix("%").strip()
                value = number(bare, "." if cell.number else self.mark)
                return f"{value:.10g} %" if "%" in cell.text or column.meaning.unit == "%" else f"{value:.10g}"
            found = cell.figure(self.mark)
        except NotKnownError as why:
            self.findings.append(
                Finding(OPEN, f"{why}: give it, or empty the cell", row, column.heading, cell.text, "loads.csv", own)
            )
            return untaken(cell.text)
        unit = found.unit or column.meaning.unit or _UNITS.get(own, "")
        for said in (*found.said, *found.ignored):
            self.findings.append(Finding(ASSUMED, said, row, column.heading, cell.text))
        if not unit:
            said = "has no unit: write it behind the figure"
            self.findings.append(Finding(OPEN, said, row, column.heading, cell.text, "loads.csv", own))
        return f"{found.value:.10g} {unit}".strip()

    def _start_without_time(self, row: int, column: Column, cell: GridCell, cells: tuple[GridCell, ...]) -> None:
        timed = next((one for one in self.columns.all if one.meaning.own == "inrush_time"), None)
        if timed is None or not timed.cell(cells).text:
            said = "is a start current without its time: give 'inrush_time' too, or empty 'inrush'"
            self.findings.append(Finding(OPEN, said, row, column.heading, cell.text, "loads.csv", "inrush_time"))

    def _quantity(self, row: int, cells: tuple[GridCell, ...], role: str) -> str:
        """A figure with its unit that is of use where it can be read; else it is carried along and told of."""
        column = self.columns.of(role)
        cell = self.columns.cell(cells, role)
        if column is None or not cell.text:
            return ""
        try:
            found = cell.figure(self.mark)
        except NotKnownError as why:
            self._row(LOOK, row, role, cell.text, f"{why}, and is not used")
            return ""
        text = f"{found.value:.10g} {found.unit or column.meaning.unit}".strip()
        try:
            read_quantity(text, _DIMENSIONS[role])
        except UnreadableError as why:
            self._row(LOOK, row, role, cell.text, f"{why.wrong}, and is not used")
            return ""
        for said in (*found.said, *found.ignored):
            self._row(ASSUMED, row, role, cell.text, said)
        return text

    def _length(self, row: int, cells: tuple[GridCell, ...]) -> str:
        text = self._quantity(row, cells, words.LENGTH)
        column = self.columns.of(words.LENGTH)
        if text and column is not None and column.meaning.both_ways:
            value, _, unit = text.partition(" ")
            self._row(ASSUMED, row, words.LENGTH, text, "is there and back: half of it is used")
            return f"{float(value) / 2.0:.10g} {unit}"
        return text

    def _hint(self, row: int, cells: tuple[GridCell, ...]) -> None:
        """Remarks that may ask for a capability are pointed out, for nothing is made of them."""
        for column in self.columns.all:
            if column.role not in (words.OTHER, words.NAME):
                continue
            said_words = _OF_BACKING.sub(" ", column.cell(cells).text.lower()).replace(",", " ").split()
            for need, meant in _HINTS.items():
                if any(word.strip(".();:") in meant for word in said_words):
                    said = f"may need an output that can '{need}': then write it into the column 'needs'"
                    self.findings.append(Finding(LOOK, said, row, column.heading, column.cell(cells).text))

    def _fill_in(self, row: int, role: str, cell: str, said: str, key: str) -> None:
        self._row(OPEN, row, role, cell, said, key)

    def _row(self, kind: str, row: int, role: str, cell: str, said: str, key: str = "") -> None:
        column = self.columns.of(role)
        heading = "" if column is None else column.heading
        self.findings.append(Finding(kind, said, row, heading, cell, "loads.csv" if key else "", key))
