"""Which column of a grid is what: by its heading, and where that may mean two things by what stands below it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from allocator.importing import vocabulary as words
from allocator.importing.figures import NotKnownError, figure, unit_named
from allocator.importing.grid import EMPTY, Grid, GridCell
from allocator.importing.marks import is_mark, level_of
from allocator.importing.vocabulary import Heading, understood
from allocator.problem import Kind, Supply
from allocator.reading.plain_values import chosen

HEADING_WITHIN = 60  # rows from the top
_MANY = (words.OTHER, words.CONDITION, words.PEAK, words.ENERGY, words.WIRE, words.FUSE)
"""Roles that several columns may have."""
_WORDS: dict[str, type[Kind] | type[Supply]] = {"kind": Kind, "supply": Supply}
"""Columns whose cells hold one of a few words."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column: where it stands, its heading as written (or its letters), and its meaning."""

    place: int
    heading: str
    meaning: Heading

    @property
    def role(self) -> str:
        """What it is read as."""
        return self.meaning.role

    def cell(self, cells: tuple[GridCell, ...]) -> GridCell:
        """Its cell of a row; an empty one where the row ends before it."""
        return cells[self.place] if self.place < len(cells) else EMPTY


@dataclass(frozen=True, slots=True)
class Columns:
    """Every column of a grid. ``first_row`` is the first one below the headings.

    ``said`` tells what was settled, ``look`` what somebody should look at.
    """

    heading_row: int
    first_row: int
    all: tuple[Column, ...]
    said: tuple[str, ...]
    look: tuple[str, ...]

    def of(self, role: str) -> Column | None:
        """The column with a role."""
        return next((column for column in self.all if column.role == role), None)

    def every(self, role: str) -> tuple[Column, ...]:
        """All columns with a role."""
        return tuple(column for column in self.all if column.role == role)

    def cell(self, cells: tuple[GridCell, ...], role: str) -> GridCell:
        """The cell of a row under a role; an empty one where there is none."""
        column = self.of(role)
        return EMPTY if column is None else column.cell(cells)


def heading_of(grid: Grid) -> tuple[int, int]:
    """The row that most likely holds the headings, and how many roles it names; (0, 0) where none names an item."""
    best = (0, 0)
    for number, cells in enumerate(grid.rows[:HEADING_WITHIN], start=1):
        roles = {understood(cell.text).role for cell in cells if cell.text and not cell.number}
        named = roles & {words.NAME, words.RUNNING_NUMBER, words.NUMBER_OFF}
        if named and roles & set(words.DRAWS) and len(roles - {words.OTHER}) > best[1]:
            best = (number, len(roles - {words.OTHER}))
    return best


def columns_of(grid: Grid, heading_row: int) -> Columns:
    """The meaning of every column of a grid."""
    headings = grid.row(heading_row)
    first = heading_row + 1
    units: dict[int, str] = {}
    if first <= len(grid.rows) and (below := _units(grid.row(first))):
        units, first = below, first + 1
    used = {place for _, cells in grid.below(first) for place, cell in enumerate(cells) if cell.text}
    used |= {place for place, cell in enumerate(headings) if cell.text}
    found: list[Column] = []
    for place in sorted(used):
        text = headings[place].text if place < len(headings) else ""
        meaning = understood(text)
        if place in units:
            with_unit = understood(f"{text} [{units[place]}]")
            meaning = with_unit if meaning.role in (words.OTHER, with_unit.role) else meaning
        found.append(Column(place, text or f"column {letters(place)}", meaning))
    said: list[str] = []
    settled = _settled(_distinct(found), grid, first, said)
    return Columns(heading_row, first, tuple(settled), tuple(said), tuple(_to_look_at(settled, grid, first)))


def _to_look_at(columns: list[Column], grid: Grid, first: int) -> Iterator[str]:
    """Figures of which nothing is made."""
    for column in columns:
        figures = _mostly_figures(_texts(grid, first, column)) and not words.of_no_use(column.heading)
        if column.role == words.PEAK:
            way = "where a start matters, write it into 'inrush', and how long it lasts into 'inrush_time'"
            yield f"peaks under '{column.heading}' are not used, because they come without a time: {way}"
        elif column.role == words.OTHER and figures:
            yield f"column '{column.heading}' contains figures that are not used"


def _units(cells: tuple[GridCell, ...]) -> dict[int, str]:
    """Units that a row right below the headings holds, where it holds nothing else."""
    texts = {place: cell.text.strip("[]() ") for place, cell in enumerate(cells) if cell.text}
    units = {place: unit for place, text in texts.items() if (unit := unit_named(text)) is not None}
    return units if texts and len(units) == len(texts) else {}


def letters(place: int) -> str:
    """The letters of a column as spreadsheets count them."""
    letters = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def _distinct(columns: list[Column]) -> list[Column]:
    """Headings made distinct, for they become columns of a table."""
    seen: dict[str, int] = {}
    out = []
    for column in columns:
        key = column.heading.casefold()
        seen[key] = seen.get(key, 0) + 1
        out.append(column if seen[key] == 1 else replace(column, heading=f"{column.heading} ({seen[key]})"))
    return out


def _settled(columns: list[Column], grid: Grid, first: int, said: list[str]) -> list[Column]:
    """Roles by what stands in the column, then one column for each role."""
    columns = [_by_content(column, _texts(grid, first, column)) for column in columns]
    if not any(column.role == words.NAME for column in columns):
        # 'Item no.' alone over names
        columns = [_named(column, _texts(grid, first, column)) for column in columns]
    if not any(column.role == words.NAME for column in columns):
        columns = _without_heading(columns, grid, first, said)
    if any(column.role == words.CONDITION for column in columns):
        columns = [_another_condition(column, _texts(grid, first, column)) for column in columns]
    columns = _peaks_apart(columns, said)
    best = {column.role: column for column in sorted(columns, key=_preference)}
    out = []
    for column in columns:
        alone = best[column.role]
        if column.role not in _MANY and alone is not column:
            said.append(f"column '{column.heading}' is not used: '{alone.heading}' is read as {column.role}")
            column = replace(column, meaning=Heading())
        out.append(column)
    return out


def _preference(column: Column) -> tuple[int, bool, int]:
    return column.meaning.rank, not column.meaning.average, -column.place


def _texts(grid: Grid, first: int, column: Column) -> list[str]:
    return [text for _, cells in grid.below(first) if (text := column.cell(cells).text)]


def _by_content(column: Column, texts: list[str]) -> Column:
    role = column.role
    if role in _WORDS and any(chosen(text, _WORDS[role]) is None for text in texts):
        # a column that is called like one of ours and says something else
        volts = all(_is_figure(text) and text.lower().rstrip("dca .").endswith("v") for text in texts)
        role = words.VOLTAGE if volts else words.OTHER
    numbers_rows = role == words.NUMBER_OFF and column.meaning.rank == 1 and _counts_up(texts)
    if role == words.NAME and _mostly_figures(texts) and not _counts_up(texts):
        role = words.OTHER
    elif numbers_rows or (role == words.NAME and _mostly_figures(texts)):
        role = words.RUNNING_NUMBER
    elif role == words.PLACE and texts and all(is_mark(text) for text in texts):
        role = words.IN_HAND
    elif role == words.CONDITION and not (texts and all(level_of(text, ",") is not None for text in texts)):
        role = words.OTHER
    return column if role == column.role else replace(column, meaning=replace(column.meaning, role=role, own=""))


def _peaks_apart(columns: list[Column], said: list[str]) -> list[Column]:
    """Beside the continuous current a peak is no current to size for; the highest, or alone any, is."""
    usual = next((column for column in columns if column.role == words.CURRENT), None)
    highest = next((column for column in columns if column.role == words.HIGHEST and not column.meaning.peak), None)
    if usual is None:
        return columns
    if highest is not None:
        said.append(f"'{highest.heading}' is used instead of '{usual.heading}'")
    return [
        replace(column, meaning=replace(column.meaning, role=words.PEAK)) if column.meaning.peak else column
        for column in columns
    ]


def _another_condition(column: Column, texts: list[str]) -> Column:
    """Beside conditions a column that holds nothing but levels is one too, whatever it is called."""
    plain = column.role == words.OTHER and not words.of_no_use(column.heading)
    if plain and texts and all(level_of(text, ",") is not None for text in texts):
        return replace(column, meaning=replace(column.meaning, role=words.CONDITION))
    return column


def _without_heading(columns: list[Column], grid: Grid, first: int, said: list[str]) -> list[Column]:
    """Names often stand under no heading at all: the first such column that holds words."""
    for number, column in enumerate(columns):
        texts = _texts(grid, first, column)
        if column.heading == f"column {letters(column.place)}" and texts and not _mostly_figures(texts):
            said.append(f"{column.heading} has no heading and is read as names")
            named = replace(column, meaning=replace(column.meaning, role=words.NAME))
            return [*columns[:number], named, *columns[number + 1 :]]
    return columns


def _mostly_figures(texts: list[str]) -> bool:
    return sum(_is_figure(text) for text in texts) * 2 > len(texts)


def _named(column: Column, texts: list[str]) -> Column:
    if column.role == words.RUNNING_NUMBER and texts and not _mostly_figures(texts):
        return replace(column, meaning=replace(column.meaning, role=words.NAME))
    return column


def _is_figure(text: str) -> bool:
    try:
        figure(text, None)
    except NotKnownError:
        return False
    return True


def _counts_up(texts: list[str]) -> bool:
    """Whether a column numbers its rows: 1, 2, 3 ..., perhaps again in each section."""
    numbers = [int(text) for text in texts if text.isdecimal() and len(text) <= 6]
    again = [place for place, one in enumerate(numbers) if place == 0 or one == 1]
    runs = [numbers[first:last] for first, last in pairwise([*again, len(numbers)])]
    return len(numbers) >= 3 and all(len(run) >= 2 and run == list(range(run[0], run[0] + len(run))) for run in runs)
