"""Long calls of compiled code, which hear neither a clock nor Ctrl-C: each in a thread that can be left behind."""

from __future__ import annotations

import atexit
import threading
from collections.abc import Callable

INTERVAL_S = 0.05
"""Seconds between two looks at the clock."""

_left: list[threading.Thread] = []


def run_aside(call: Callable[[], object], ask: Callable[[], None]) -> None:
    """Do a call in a thread of its own, and ask meanwhile whether to go on waiting.

    Whatever ``ask`` raises, or a signal, leaves the call behind: it runs on until it hears of it, and what it works on
    must not be touched again. What the call itself raises is raised here.
    """
    done = threading.Event()
    failed: list[BaseException] = []

    def work() -> None:
        try:
            call()
        except BaseException as error:
            failed.append(error)
        finally:
            done.set()

    thread = threading.Thread(target=work, daemon=True)
    try:
        thread.start()
        while not done.wait(INTERVAL_S):
            ask()
    except BaseException:
        _left.append(thread)
        raise
    if failed:
        raise failed[0]


def left_behind() -> bool:
    """Whether a call that was left behind still runs. Python then must not end as usual: it would break."""
    return any(thread.is_alive() for thread in _left)


@atexit.register
def _wait() -> None:
    for thread in _left:
        thread.join()
