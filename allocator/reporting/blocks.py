"""Tables, headings and paragraphs as plain data, and values as text; nothing here knows of terminals or files."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from allocator.table import COUNT, FIGURE, Cell, Column, Table


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


def cell_text(cell: Cell, column: Column) -> str:
    """A cell as it is read: figures with the digits of their column; words as they are, in any column."""
    if isinstance(cell, int | float) and column.significant is not None:
        return short(float(f"{cell:.{column.significant}g}"))
    if isinstance(cell, int | float) and column.kind == FIGURE:
        return number(cell, column.digits)
    if isinstance(cell, int | float) and column.kind == COUNT:
        return f"{cell:,}"
    return "" if cell is None else f"{cell}"


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
