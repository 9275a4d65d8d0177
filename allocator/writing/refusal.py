"""What is refused where writing it would cost the user a file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

NAMED = 5
"""So many names stand in a message; of the others it tells the number."""


class OutputError(Exception):
    """A place to write to is refused; the text says why, and what to give instead."""


def listed(names: Iterable[str]) -> str:
    """Names in one line, the first few in full."""
    every = list(names)
    more = f" and {len(every) - NAMED} more" if len(every) > NAMED else ""
    return ", ".join(every[:NAMED]) + more


@contextmanager
def asked_for(path: Path) -> Iterator[None]:
    """An error of the system names the path that was asked for, not one of ours beside it."""
    try:
        yield
    except OSError as error:
        error.filename = str(path)
        raise
