"""A table as plain data: columns that know their unit, and rows of values.

Whatever is read as a table is one of these: on a terminal, in a CSV file or a sheet of a workbook, on the page, in a
notebook, as a DataFrame. Rows are made once; how a value is written down is said by its column.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pandas import DataFrame

Cell = str | float | int | tuple[Any, ...] | None
Row = tuple[Cell, ...]

TEXT, FIGURE, COUNT, FILL_IN = "text", "figure", "count", "fill in"
JOIN = "; "

UNITS = {
    "a": "A", "v": "V", "m": "m", "g": "g", "c": "degC", "percent": "%", "mm": "mm", "g_m": "g/m", "w_m": "W/m",
}  # fmt: skip
"""Units by the end of a key: ``length_m``, ``drop_percent``."""
DIGITS = {"A": 2, "V": 3, "m": 2, "g": 1, "degC": 0, "%": 2, "mm": 1, "g/m": 1, "W/m": 1, "": 3}
KINDS = {"float": FIGURE, "float | None": FIGURE, "int": COUNT, "int | None": COUNT}
"""Kinds by the type of a field; all others are text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column. ``key`` names it for programs, ``name`` and ``unit`` head it for people.

    ``kind`` is text, figure, count, or what is left to be filled in by hand. Of a figure so many ``digits`` are shown
    after the point; where ``significant`` is given, text shows so many in all and no idle zeros. ``right``: it stands
    to the right. ``whole``: text that is not broken over two lines.
    """

    key: str
    name: str
    kind: str = TEXT
    unit: str = ""
    digits: int = 2
    significant: int | None = None
    right: bool = False
    whole: bool = False

    @property
    def heading(self) -> str:
        """Name and unit, as they are read: ``length m``."""
        return f"{self.name} {self.unit}".strip()


def text(name: str, *, key: str = "", right: bool = False, whole: bool = False) -> Column:
    """A column of words.

    Parameters
    ----------
    name
        Heading.
    key
        Key in records; empty: the heading.
    right
        Whether it is set to the right.
    whole
        Whether its text is never broken over two lines.
    """
    return Column(key=key or name, name=name, right=right, whole=whole)


def texts(*names: str) -> tuple[Column, ...]:
    """Columns of words."""
    return tuple(map(text, names))


def figure(name: str, unit: str = "", digits: int = 2, *, significant: int | None = None, key: str = "") -> Column:
    """A column of figures in a unit, called ``NAME [UNIT]``; a share is given in ``%``, a pure number without unit.

    Parameters
    ----------
    name
        Heading, without the unit.
    unit
        Unit of all its figures; empty for a pure number.
    digits
        Digits after the point.
    significant
        Significant digits, instead of ``digits``.
    key
        Key in records; empty: made of heading and unit.
    """
    key = key or _called(name, unit)
    return Column(key=key, name=name, kind=FIGURE, unit=unit, digits=digits, significant=significant, right=True)


def count(name: str, *, key: str = "") -> Column:
    """A column of whole numbers."""
    return Column(key=key or name, name=name, kind=COUNT, right=True)


def fill_in(name: str, unit: str = "") -> Column:
    """A column that is left empty, to be written into at the bench."""
    return Column(key=_called(name, unit), name=name, kind=FILL_IN, unit=unit)


def _called(name: str, unit: str) -> str:
    return f"{name} [{unit}]" if unit else name


def keyed(*keys: str) -> tuple[Column, ...]:
    """Columns of keys that end with their unit: 'drop_percent' is 'drop' in %, 'current_a day' is 'current day' in A.

    With a unit they are figures, without one text.
    """
    return tuple(_keyed(key) for key in keys)


def _keyed(key: str, kind: str = TEXT) -> Column:
    name, _, rest = key.partition(" ")
    ending = next((one for one in sorted(UNITS, key=len, reverse=True) if name.endswith(f"_{one}")), "")
    words = f"{name.removesuffix(f'_{ending}')} {rest}".replace("_", " ").strip()
    unit = UNITS.get(ending, "")
    kind = FIGURE if unit else kind
    return Column(key=key, name=words, kind=kind, unit=unit, digits=DIGITS[unit], right=kind in (FIGURE, COUNT))


def columns_of(kind: type, *further: str) -> tuple[Column, ...]:
    """A column for each field of a dataclass, by its name and type; ``further`` are keys of figures beside them."""
    own = (_keyed(field.name, KINDS.get(str(field.type), TEXT)) for field in fields(kind))
    return (*own, *(_keyed(key, FIGURE) for key in further))


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows that have a cell for each column.

    ``name`` is that of file and sheet, ``note`` says how to read it, ``breaks_at`` is the key of the column at whose
    changes a new page begins.
    """

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    title: str = ""
    name: str = ""
    note: str = ""
    breaks_at: str | None = None

    def __post_init__(self) -> None:
        """A row that is too long or too short is a mistake of the programmer."""
        assert all(len(row) == len(self.columns) for row in self.rows), "a row has not one cell for each column"

    @property
    def keys(self) -> tuple[str, ...]:
        """Names of the columns for programs."""
        return tuple(column.key for column in self.columns)

    def records(self) -> list[dict[str, Any]]:
        """Each row by key."""
        return [dict(zip(self.keys, row, strict=True)) for row in self.rows]

    def only(self, *keys: str) -> Table:
        """The same with these columns alone, in this order."""
        return self._at([self.keys.index(key) for key in keys])

    def filled(self) -> Table:
        """The same without columns in which nothing stands."""
        return self._at([n for n in range(len(self.columns)) if any(row[n] not in (None, "") for row in self.rows)])

    def _at(self, places: list[int]) -> Table:
        rows = tuple(tuple(row[n] for n in places) for row in self.rows)
        return replace(self, columns=tuple(self.columns[n] for n in places), rows=rows)

    def frame(self) -> DataFrame:
        """The same for pandas, columns by key; types are those that pandas finds."""
        from pandas import DataFrame

        return DataFrame(self.rows, columns=list(self.keys))


def table_of(columns: Iterable[Column], things: Iterable[Any], *, title: str = "", name: str = "") -> Table:
    """A row for each thing: what it has under the keys of the columns, as items or attributes; tuples are joined.

    Parameters
    ----------
    columns
        The columns.
    things
        Mappings or objects, one for each row.
    title
        Heading.
    name
        Name of the CSV file and sheet.
    """
    columns = tuple(columns)
    rows = tuple(tuple(_cell(thing, column.key) for column in columns) for thing in things)
    return Table(columns=columns, rows=rows, title=title, name=name)


def _cell(thing: Any, key: str) -> Cell:
    cell: Cell = thing[key] if isinstance(thing, Mapping) else getattr(thing, key)
    return JOIN.join(cell) if isinstance(cell, tuple) else cell
