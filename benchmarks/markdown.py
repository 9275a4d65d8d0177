"""Tables in Markdown, line by line, so that a long benchmark shows what it has."""

from __future__ import annotations

from collections.abc import Sequence


def head(headings: Sequence[str]) -> tuple[str, str]:
    """The two lines that a table begins with."""
    return line(headings), "|---" * len(headings) + "|"


def line(cells: Sequence[str]) -> str:
    """One row of a table."""
    return "| " + " | ".join(cells) + " |"
