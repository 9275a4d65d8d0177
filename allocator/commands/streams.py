"""Standard input, output and error of a command: there, able to show every name, and closed in peace."""

from __future__ import annotations

import codecs
import io
import os
import sys
from contextlib import suppress
from typing import IO

ESCAPED = "allocator.escaped"
"""How letters are shown that the encoding of a stream lacks: as \\u00fc, which is right inside of JSON too."""


def ready() -> None:
    """Make the standard streams fit for any text, and open to nowhere those that were closed.

    A stream that was closed leaves its number free, and the next file that is opened would get what is printed.
    """
    codecs.register_error(ESCAPED, _escaped)
    _fill_gaps()
    sys.stdin = sys.stdin or _nowhere("r")
    sys.stdout = sys.stdout or _nowhere("w")
    sys.stderr = sys.stderr or _nowhere("w")
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=ESCAPED)


def give_up_output() -> None:
    """Let what is still to be printed go nowhere: whoever read it has stopped, and the exit must not fail over it."""
    with suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _escaped(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    units = error.object[error.start : error.end].encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[n]:02x}{units[n + 1]:02x}" for n in range(0, len(units), 2)), error.end


def _fill_gaps() -> None:
    """Open the null device under each standard number that is not open; it gets the lowest that is free."""
    for number in (0, 1, 2):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)


def _nowhere(mode: str) -> IO[str]:
    return open(os.devnull, mode, encoding="utf-8")  # noqa: PTH123  # open as long as the process runs
