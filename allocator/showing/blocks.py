"""Tables and paragraphs as plain data, and numbers as text; nothing here knows of terminals or files."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column: numbers stand to the right and are never broken over two lines."""

    heading: str
    number: bool = False
    whole: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table of texts under a title."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text; lines are broken where it is shown. ``tone`` is plain, good, bad or quiet."""

    text: str
    tone: str = "plain"


@dataclass(frozen=True, slots=True)
class Heading:
    """A line that opens a part."""

    text: str


Block = Table | Paragraph | Heading


def number(value: float | None, digits: int = 2) -> str:
    """A figure with a fixed number of digits and thousands set apart by commas; empty when unknown."""
    return "" if value is None else f"{value:,.{digits}f}"


def short(value: float | None) -> str:
    """A figure with no more digits than it needs (7.5, 20); empty when unknown."""
    return "" if value is None else f"{value:.10g}"


def counted(count: int, one: str, many: str | None = None) -> str:
    """A count with its noun, such as '1 splice' or '3 splices'."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


NAMES_SHOWN = 3


def listed(names: Sequence[str], shown: int = NAMES_SHOWN) -> str:
    """Names in a sentence, the first few and a count of the others."""
    more = len(names) - shown
    return ", ".join(names[:shown]) + (f" and {more} more" if more > 0 else "")
