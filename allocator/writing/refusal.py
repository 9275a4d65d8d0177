"""What is refused where writing it would cost the user a file."""

from __future__ import annotations

from collections.abc import Iterable

NAMED = 5
"""So many names stand in a message; of the others it tells the number."""


class OutputError(Exception):
    """A place to write to is refused; the text says why, and what to give instead."""


def listed(names: Iterable[str]) -> str:
    """Names in one line, the first few in full."""
    every = list(names)
    more = f" and {len(every) - NAMED} more" if len(every) > NAMED else ""
    return ", ".join(every[:NAMED]) + more
