"""Live progress on standard error: best, bound, gap, seconds."""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable
from types import TracebackType
from typing import IO, TYPE_CHECKING, Self

from allocator.reporting.blocks import number
from allocator.reporting.proof import gap_text
from allocator.reporting.text import printable

if TYPE_CHECKING:
    from allocator.search.solve import Progress

INTERVAL_S = 5.0


def line(progress: Progress, seconds: float) -> str:
    """One moment of a search, so many seconds after it began."""
    best = "no layout yet" if progress.best_g is None else f"best {number(progress.best_g, 1)} g"
    bound = "no bound yet" if progress.bound_g is None else f"bound {number(progress.bound_g, 1)} g"
    gap = "" if progress.gap is None else f", gap {gap_text(progress.gap)}"
    return f"{best}, {bound}{gap}, {seconds:.0f} s"


def shortened(text: str) -> str:
    """A text that fits into one line of a terminal, so that it can be written over."""
    room = shutil.get_terminal_size().columns - 1
    return text if len(text) <= room else f"{text[: max(0, room - 4)]} ..."


class ProgressDisplay:
    """Shows progress: one line that is written over on a terminal, else a line every few seconds.

    Seconds are counted here: a search may have several stages, each of which counts its own.
    """

    def __init__(self, stream: IO[str], interval_s: float = INTERVAL_S, clock: Callable[[], float] = time.monotonic):
        self._stream = stream
        self._interval_s = interval_s
        self._live = stream.isatty()
        self._width = 0
        self._due_s = 0.0
        self._clock = clock
        self._began = clock()

    def __call__(self, progress: Progress) -> None:
        """Show a moment of the search, if it is time to."""
        seconds = self._clock() - self._began
        self._show(line(progress, seconds), seconds)

    def say(self, text: str) -> None:
        """Show what is being done, if it is time to, with the seconds since the beginning."""
        seconds = self._clock() - self._began
        self._show(f"{text} ({seconds:.0f} s)", seconds)

    def _show(self, text: str, seconds: float) -> None:
        text = printable(text).plain
        if self._live:
            text = shortened(text)
            self._stream.write("\r" + text.ljust(self._width))
            self._width = len(text)
            self._stream.flush()
        elif seconds >= self._due_s:
            self._stream.write(text + "\n")
            self._stream.flush()
            self._due_s = seconds + self._interval_s

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Clear the line that was written over, so that what follows starts on a clean one."""
        if self._width:
            self._stream.write("\r" + " " * self._width + "\r")
            self._stream.flush()
