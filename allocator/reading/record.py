"""One row of a table, or one table of a TOML file, with typed access that records what is wrong."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from enum import StrEnum
from typing import Any, TypeVar

from allocator.problem import Mistake, ProblemError
from allocator.problem.bounds import MOST_CLASSES, MOST_NAMES, MOST_POINTS, MOST_TRIP_SETTINGS
from allocator.problem.near_misses import near_miss, suggestion
from allocator.reading.placed import Placed, Spot
from allocator.reading.plain_values import (
    chosen,
    read_count,
    read_current_or_power,
    read_flag,
    read_level,
    read_number,
    read_share,
)
from allocator.reading.quantities import AREA, Dimension, UnreadableError, read_quantity

T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)


class Record:
    """Named values that stand at one place of the input.

    A value that is absent or cannot be read comes back as None; in the second case a mistake is added to
    ``mistakes`` and ``ok`` turns False, as it does where a needed value is absent.

    Parameters
    ----------
    mistakes
        Where mistakes are collected; shared by all records of a problem.
    file, row
        Where the record stands: a line number, or words such as ``unit 'front'``.
    values
        Cells of text, or TOML values.
    heading_units
        Unit named in the heading, by column.
    absent
        Columns that the whole table lacks; their absence was reported once, at the heading.
    spot
        Where in a workbook the values stand; None: at ``row``, each under its own name.
    """

    def __init__(
        self,
        mistakes: list[Mistake],
        file: str,
        row: int | str | None,
        values: Mapping[str, Any],
        heading_units: Mapping[str, str] | None = None,
        absent: frozenset[str] = frozenset(),
        spot: Spot | None = None,
    ):
        self.mistakes = mistakes
        self.file = file
        self.row = row
        self.values = dict(values)
        self.heading_units = heading_units or {}
        self.absent = absent
        self.spot = spot or Spot(file, row)
        self.ok = True

    @classmethod
    def of_table(cls, mistakes: list[Mistake], file: str, row: str | None, values: Mapping[str, Any]) -> Record:
        """Record of a table of settings; one that was read from a workbook knows better where it stands.

        Parameters
        ----------
        mistakes
            Where mistakes are collected.
        file
            File that they are reported for.
        row
            What the table is called in a report; None for the file itself.
        values
            The keys and values that were read.
        """
        if not isinstance(values, Placed):
            return cls(mistakes, file, row, values)
        spot = values.spot
        return cls(mistakes, spot.file, spot.row, values, spot.units, spot=spot)

    def fail(self, key: str | None, wrong: str, remedy: str, value: str | None = None) -> None:
        """Record a mistake of this record.

        Parameters
        ----------
        key
            The column or key; None for the whole record.
        wrong
            What is wrong.
        remedy
            What to do.
        value
            What was read, where it helps.
        """
        self.ok = False
        row, field = self.spot.at(key)
        self.mistakes.append(Mistake(table=self.file, row=row, field=field, value=value, wrong=wrong, remedy=remedy))

    def built(self, make: Callable[..., T], **values: Any) -> T | None:
        """Make an object of the values that are there; None where the record or the object is wrong."""
        if not self.ok:
            return None
        try:
            return make(**{key: value for key, value in values.items() if value is not None})
        except ProblemError as error:
            for mistake in error.mistakes:
                self.take_over(mistake)
            return None

    def take_over(self, mistake: Mistake) -> None:
        """Record what an object found wrong with itself, at the place and with the text it was read from."""
        written = self.values.get(mistake.field or "")
        # of a list, the object names the item that is wrong
        plain = written not in (None, "") and not isinstance(written, list | dict)
        value = _shown(written) if plain else mistake.value
        self.ok = False
        row, field = self.spot.at(mistake.field)
        self.mistakes.append(replace(mistake, table=self.file, row=row, field=field, value=value))

    def check_keys(self, known: Iterable[str]) -> None:
        """Refuse unknown keys. One that is nearly a known key is read as that key all the same."""
        names = list(known)
        for key in [key for key in self.values if key not in names]:
            near = near_miss(key, names, cutoff=0.7)
            remedy = suggestion(key, names, "key") if near is None else f"Write '{near}' if that is meant"
            self.fail(key, "is not a known key", remedy)
            if near is not None and near not in self.values:
                self.values[near] = self.values[key]

    def has(self, key: str) -> bool:
        """Whether the key is there and not empty."""
        return self.values.get(key) not in (None, "")

    def text(self, key: str, *, needed: bool = False) -> str | None:
        """Text as it stands."""
        value = self._value(key, needed)
        if value is None:
            return None
        if not isinstance(value, str):
            self.fail(key, "is not text", f'Write it in quotation marks, such as "{_shown(value)}"', _shown(value))
            return None
        return " ".join(value.split())

    def quantity(self, key: str, dimension: Dimension, *, needed: bool = False, positive: bool = False) -> float | None:
        """A quantity in the unit of the dimension.

        Parameters
        ----------
        key
            The column or key.
        dimension
            What is measured, and in which unit.
        needed
            Whether a missing value is a mistake.
        positive
            Whether 0 is a mistake.

        Returns
        -------
        float | None
            The value in base units; None where there is none, or a mistake was recorded.
        """

        def read(text: str, unit: str | None) -> float:
            value = read_quantity(text, dimension, unit)
            if positive and value <= 0.0:
                raise UnreadableError("is not more than 0", dimension.remedy)
            return value

        return self._read(key, read, needed, f"Give {dimension.noun}, such as {dimension.example}")

    def share(self, key: str, low: float = 0.0, high: float = 1.0, *, above_zero: bool = False) -> float | None:
        """A share or ratio as a fraction between two bounds.

        Parameters
        ----------
        key
            The column or key.
        low
            Lower bound, allowed unless ``above_zero``.
        high
            Upper bound, allowed.
        above_zero
            Whether 0 is a mistake.

        Returns
        -------
        float | None
            The fraction; None where there is none, or a mistake was recorded.
        """

        def read(text: str, unit: str | None) -> float:
            value = read_share(text, unit)
            if not low <= value <= high or (above_zero and value == 0.0):
                percent = "" if "%" in text or value <= 1.0 else f" ('{text} %' for percent)"
                bounds = f"above 0, up to {high:g}" if above_zero else f"from {low:g} to {high:g}"
                raise UnreadableError(f"is not {bounds}", f"Give a share or a percentage {bounds}{percent}")
            return value

        return self._read(key, read)

    def level(self, key: str) -> float | None:
        """A level from 0 to 1."""
        return self._read(key, read_level)

    def count(self, key: str, low: int = 0, high: int | None = None) -> int | None:
        """A whole number."""

        def read(text: str, _unit: str | None) -> int:
            value = read_count(text)
            if value < low:
                raise UnreadableError(f"is less than {low}", f"Give a count of {low} or more")
            if high is not None and value > high:
                raise UnreadableError(f"is more than {high:,}, the most that is read", "Check the number")
            return value

        return self._read(key, read)

    def number(self, key: str, low: float, high: float) -> float | None:
        """A plain number between two bounds."""

        def read(text: str, _unit: str | None) -> float:
            value = read_number(text, f"{low:g}")
            if not low <= value <= high:
                bounds = f"from {low:g} to {high:g}"
                raise UnreadableError(f"is not {bounds}", f"Give a number {bounds}")
            return value

        return self._read(key, read)

    def flag(self, key: str) -> bool | None:
        """Yes or no."""
        value = self.values.get(key)
        return value if isinstance(value, bool) else self._read(key, lambda text, _unit: read_flag(text))

    def choice(self, key: str, options: type[E]) -> E | None:
        """One of a few words."""
        text = self.text(key)
        if text is None:
            return None
        option = chosen(text, options)
        if option is None:
            remedy = suggestion(text, [one.value for one in options], "word")
            self.fail(key, "is not one of the words allowed here", remedy, text)
        return option

    def current_or_power(self, key: str) -> tuple[float, str] | None:
        """A current in A or a power in W; needed, and more than 0."""

        def read(text: str, unit: str | None) -> tuple[float, str]:
            value = read_current_or_power(text, unit)
            if value[0] <= 0.0:
                raise UnreadableError("is not more than 0", "Give what one item draws, or leave the row out")
            return value

        return self._read(key, read, True, "Give what one item draws, such as 5 A or 60 W")

    def names(self, key: str) -> tuple[str, ...] | None:
        """Names: a TOML list, or text parted by semicolons. A name given twice is refused."""
        value = self.values.get(key)
        if value is None:
            return None
        items = value.split(";") if isinstance(value, str) else value
        if not isinstance(items, list) or not all(isinstance(item, str) for item in items):
            self.fail(key, "is not a list of names", 'Write a list such as ["one", "two"]', _shown(value))
            return None
        names = [" ".join(item.split()) for item in items if item.strip()]
        if not self._few(key, len(names), MOST_NAMES, "Leave some out"):
            return None
        for name in sorted(name for name, count in Counter(names).items() if count > 1):
            self.fail(key, "is named twice", "Name it once", name)
        return tuple(names)

    def words(self, key: str) -> tuple[str, ...] | None:
        """Names that mean something to the engine, whose case does not matter."""
        names = self.names(key)
        return None if names is None else tuple(name.lower() for name in names)

    def area_range(self, key: str) -> tuple[float, float] | None:
        """Least and largest conductor area, such as ``["1 mm2", "4 mm2"]``; needed."""
        pair = self._value(key, True, 'Write a range such as ["1 mm2", "4 mm2"]')
        if pair is None:
            return None
        if isinstance(pair, str):
            pair = [item.strip() for item in pair.split(";")]
        if not isinstance(pair, list) or len(pair) != 2:
            self.fail(key, "is not a range of two sizes", 'Write a range such as ["1 mm2", "4 mm2"]', _shown(pair))
            return None
        low, high = (self._item(key, item, AREA) for item in pair)
        if low is None or high is None:
            return None
        return low, high

    def quantities(self, key: str, dimension: Dimension) -> tuple[float, ...] | None:
        """A list of quantities."""
        value = self.values.get(key)
        if value is None:
            return None
        if not isinstance(value, list):
            self.fail(key, "is not a list", f'Write a list such as ["{dimension.example}"]', _shown(value))
            return None
        if not value:
            self.fail(key, "is empty", f'Give at least one, such as ["{dimension.example}"], or leave it out')
        if not self._few(key, len(value), MOST_TRIP_SETTINGS, "Leave some out"):
            return None
        items = tuple(self._item(key, item, dimension) for item in value)
        return tuple(item for item in items if item is not None)

    def points(self, key: str, first: Dimension, second: Dimension | None) -> tuple[tuple[float, float], ...] | None:
        """Pairs of two quantities, or of a quantity and a share where ``second`` is None."""
        value = self.values.get(key)
        if value is None:
            return None
        other = "0.8" if second is None else f'"{second.example}"'
        shape = f'[["{first.example}", {other}]]'
        if not isinstance(value, list) or not all(isinstance(p, list) and len(p) == 2 for p in value):
            self.fail(key, "is not a list of pairs", f"Write pairs such as {shape}", _shown(value))
            return None
        if not value:
            self.fail(key, "is empty", f"Give at least one pair, such as {shape}, or leave it out")
            return None
        if not self._few(key, len(value), MOST_POINTS, "Give fewer points"):
            return None
        points = [(self._item(key, a, first), self._item(key, b, second)) for a, b in value]
        return tuple((a, b) for a, b in points if a is not None and b is not None)

    def children(self, key: str, kind: str, most: int = MOST_CLASSES) -> list[Record]:
        """Records of a list of TOML tables; each stands under ``kind`` and its name, or its number.

        None of them where there are more than ``most``, which is refused.
        """
        value = self.values.get(key)
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            nested = f"Write {key} = [{{...}}, {{...}}], one for each"
            remedy = f"Begin each {kind} with a line [[{key}]]" if self.row is None else nested
            self.fail(key, "is not a list of tables", remedy, _shown(value))
            return []
        if not self._few(key, len(value), most, "Leave some out"):
            return []
        above = "" if self.row is None else f"{self.row}, "
        return [
            Record.of_table(self.mistakes, self.file, f"{above}{kind} {_called(item, number)}", item)
            for number, item in enumerate(value, start=1)
        ]

    def child(self, key: str) -> Record:
        """Record of one TOML table; an empty one where it is absent."""
        value = self.values.get(key, {})
        if not isinstance(value, dict):
            remedy = f"Begin it with a line [{key}]" if self.row is None else f"Write {key} = {{name = value}}"
            self.fail(key, "is not a table", remedy, _shown(value))
            value = {}
        above = "" if self.row is None else f"{self.row}, "
        return Record.of_table(self.mistakes, self.file, f"{above}{key}", value)

    def _few(self, key: str, number: int, most: int, remedy: str) -> bool:
        """Whether a list is no longer than any machine asks for; a longer one is refused before it is read."""
        if number > most:
            self.fail(key, f"lists {number:,}, more than the {most:,} that are read", remedy)
        return number <= most

    def _value(self, key: str, needed: bool, remedy: str = "Give it") -> Any:
        value = self.values.get(key)
        if value in (None, ""):
            if needed:
                self.ok = False
                if key not in self.absent:
                    self.fail(key, "is missing", remedy)
            return None
        return value

    def _read(
        self,
        key: str,
        read: Callable[[str, str | None], T],
        needed: bool = False,
        remedy: str = "Give it",
    ) -> T | None:
        value = self._value(key, needed, remedy)
        return None if value is None else self._tried(key, value, read, self.heading_units.get(key))

    def _item(self, key: str, value: Any, dimension: Dimension | None) -> float | None:
        """One item of a list: a quantity, or a share where there is no dimension."""
        if dimension is None:
            return self._tried(key, value, read_share, None)
        return self._tried(key, value, lambda text, unit: read_quantity(text, dimension, unit), None)

    def _tried(self, key: str, value: Any, read: Callable[[str, str | None], T], unit: str | None) -> T | None:
        text = value if isinstance(value, str) else _shown(value)
        try:
            if isinstance(value, bool | list | dict):
                raise UnreadableError("is not one value", "Write one value here, in quotation marks with its unit")
            return read(text, unit)
        except UnreadableError as error:
            self.fail(key, error.wrong, error.remedy, text)
            return None


def _called(item: Mapping[str, Any], number: int) -> str:
    name = item.get("name", item.get("class"))
    return name if isinstance(name, str) and name else str(number)


def _shown(value: Any) -> str:
    """A value as a person would write it, cut where it is long."""
    if isinstance(value, bool):
        return "true" if value else "false"
    try:
        text = value if isinstance(value, str) else str(value)
    except ValueError:
        # Python writes no whole number of more than some thousand figures
        return "a very long number"
    return text if len(text) <= 60 else f"{text[:57]}..."
