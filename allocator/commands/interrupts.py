"""Ctrl-C while the solver runs."""

from __future__ import annotations

import os
import signal
from contextlib import suppress
from typing import Self


class Interrupts:
    """Remembers whether Ctrl-C was pressed, whoever handles it.

    While the solver runs it has a handler of its own, which asks it to stop with the best so far; the pipe is
    told of every signal whatever the handler does.
    """

    def __init__(self) -> None:
        self._pressed = False
        self._pipe: tuple[int, int] | None = None

    def __enter__(self) -> Self:
        self._pipe = os.pipe()
        for end in self._pipe:
            os.set_blocking(end, False)
        self._before = signal.set_wakeup_fd(self._pipe[1], warn_on_full_buffer=False)
        return self

    def __exit__(self, *_: object) -> None:
        signal.set_wakeup_fd(self._before)
        self.pressed()
        for end in self._pipe or ():
            os.close(end)
        self._pipe = None

    def pressed(self) -> bool:
        """Whether it was, since entering; what comes after leaving does not count."""
        if self._pipe is not None:
            with suppress(BlockingIOError):
                self._pressed = signal.SIGINT in os.read(self._pipe[0], 4096) or self._pressed
        return self._pressed
