"""Text without a dimension: shares, levels, counts, yes and no."""

from __future__ import annotations

import re
from enum import StrEnum
from math import isfinite
from typing import TypeVar

from allocator.reading.quantities import (
    CURRENT,
    POWER,
    UnreadableError,
    comma,
    is_unit_of,
    plain,
    read_quantity,
    split_quantity,
)

E = TypeVar("E", bound=StrEnum)

LEAST, MOST = 1e-9, 1e9
"""Between these is every number without a dimension that means anything."""

YES = frozenset({"yes", "y", "true", "on"})
NO = frozenset({"no", "n", "false", "off"})
_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_PERCENT = re.compile(r"(.*\S)\s*(?:%|percent)", re.IGNORECASE | re.DOTALL)


def read_number(text: str, example: str) -> float:
    """Read a bare, finite number (``example`` goes into the remedy)."""
    clean = plain(text)
    if _NUMBER.fullmatch(clean) and isfinite(float(clean)):
        value = float(clean)
        if 0.0 < abs(value) < LEAST or abs(value) > MOST:
            raise UnreadableError(f"is not 0, nor from {LEAST:g} to {MOST:g}", "Check the number")
        return value
    if "," in clean and _NUMBER.fullmatch(clean.replace(",", ".", 1)):
        raise comma(clean)
    raise UnreadableError("is not a plain number", f"Write a number such as {example}")


def read_share(text: str, heading_unit: str | None = None) -> float:
    """Read a share as a fraction: ``3 %``, or a bare ``0.03``; in a column ``[%]`` a bare ``3``."""
    percent = _PERCENT.fullmatch(plain(text))
    if percent:
        return read_number(percent[1], "3 %") / 100.0
    value = read_number(text, "3 %")
    return value / 100.0 if heading_unit == "%" else value


def read_level(text: str, heading_unit: str | None = None) -> float:
    """Read the level of a load in a condition: 0 to 1, percent, yes or no."""
    word = plain(text).lower()
    if word in YES:
        return 1.0
    if word in NO:
        return 0.0
    try:
        level = read_share(text, heading_unit)
    except UnreadableError as error:
        remedy = error.remedy if "comma" in error.wrong else "Write 0 to 1, a percentage, yes or no"
        raise UnreadableError("is not a level" if "comma" not in error.wrong else error.wrong, remedy) from None
    if not 0.0 <= level <= 1.0:
        raise UnreadableError("is not between 0 and 1", "Write 0 to 1, a percentage, yes or no")
    return level


def read_flag(text: str) -> bool:
    """Read yes or no."""
    word = plain(text).lower()
    if word in YES or word == "1":
        return True
    if word in NO or word == "0":
        return False
    raise UnreadableError("is neither yes nor no", "Write yes or no")


def chosen(text: str, options: type[E]) -> E | None:
    """The one of a few words that a text is, in any case and spacing; None where it is none of them."""
    word = " ".join(text.lower().replace("_", " ").split())
    return next((option for option in options if option.value == word), None)


def read_count(text: str) -> int:
    """Read a whole number of 0 or more."""
    value = read_number(text, "2")
    if value != int(value) or value < 0 or value > 1e6:
        raise UnreadableError("is not a whole number of 0 or more", "Write a count such as 2")
    return int(value)


def read_current_or_power(text: str, heading_unit: str | None = None) -> tuple[float, str]:
    """Read a current in A or a power in W; the second item says which it was."""
    try:
        _, unit = split_quantity(text, CURRENT)
        unit = unit or heading_unit
        if unit is not None and is_unit_of(unit, POWER):
            return read_quantity(text, POWER, heading_unit), "W"
        return read_quantity(text, CURRENT, heading_unit), "A"
    except UnreadableError as error:
        if error.remedy == CURRENT.remedy:
            raise UnreadableError(error.wrong, _CURRENT_OR_POWER) from None
        raise


_CURRENT_OR_POWER = "Write a current in A, such as 5 A, or a power in W, such as 60 W"
