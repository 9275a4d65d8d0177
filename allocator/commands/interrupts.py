"""Ctrl-C, and the signals that act as it does: SIGTERM, and SIGHUP where there is one."""

from __future__ import annotations

import _thread
import os
import signal
import sys
import threading
from contextlib import suppress
from typing import TYPE_CHECKING, Self

if TYPE_CHECKING:
    from sys import UnraisableHookArgs

INTERRUPTED = 130
"""The exit code that each of them leads to."""

SIGNALS = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))
"""What asks a command to stop. Windows knows no SIGHUP."""


AGAIN_S = 0.02
"""A signal that was lost is sent again after so many seconds."""


def listen() -> None:
    """From now on each of these signals raises KeyboardInterrupt, but one that is ignored: nohup ignores SIGHUP."""
    sys.unraisablehook = _sent_again
    _answer(signal.default_int_handler)


def _sent_again(lost: UnraisableHookArgs) -> None:
    """Python drops what is raised while it clears an object away, or lets go of a module's lock: a signal as well."""
    if issubclass(lost.exc_type, KeyboardInterrupt):
        # not at once: it would be raised in here, and be lost as well
        again = threading.Timer(AGAIN_S, _thread.interrupt_main)
        again.daemon = True
        again.start()
    else:
        sys.__unraisablehook__(lost)


def ignore() -> None:
    """From now on none of them is heard: the command ends anyway."""
    _answer(signal.SIG_IGN)


def _answer(handler: signal._HANDLER) -> None:
    if threading.current_thread() is threading.main_thread():
        for one in SIGNALS:
            if signal.getsignal(one) is not signal.SIG_IGN:
                signal.signal(one, handler)


class Interrupts:
    """Remembers whether such a signal came, whoever handles it.

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
        """Whether one came since entering; what comes after leaving does not count."""
        if self._pipe is not None:
            with suppress(BlockingIOError):
                came = os.read(self._pipe[0], 4096)
                self._pressed = self._pressed or any(one in came for one in SIGNALS)
        return self._pressed
