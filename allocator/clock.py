"""The time that is left: set once round a search or an answer, asked by every long loop below it.

Loops need no clock handed down: the end holds for all that is called within `until`, and `heed_clock` raises where it
is past. Whoever knows what is known by then catches that; nobody else does.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from math import inf

_ENDS: ContextVar[float] = ContextVar("ends", default=inf)


class TimeUpError(Exception):
    """The time is up, or whoever asked has had enough."""


@contextmanager
def until(limit_s: float | None) -> Iterator[None]:
    """Within, the time is up after so many seconds (None: no limit), and never later than without."""
    with _ending(ends() if limit_s is None else min(ends(), time.monotonic() + limit_s)):
        yield


@contextmanager
def at_least(seconds: float) -> Iterator[None]:
    """Within, there are at least so many seconds: what is found is to be completed, however late it was found."""
    with _ending(max(ends(), time.monotonic() + seconds)):
        yield


@contextmanager
def _ending(when: float) -> Iterator[None]:
    token = _ENDS.set(when)
    try:
        yield
    finally:
        _ENDS.reset(token)


def ends() -> float:
    """When the time is up, by ``time.monotonic``; infinite without a limit."""
    return _ENDS.get()


def left_s() -> float | None:
    """Seconds left, never below 0; None without a limit."""
    return None if ends() == inf else max(0.0, ends() - time.monotonic())


def heed_clock() -> None:
    """Raise TimeUpError where the time is up."""
    if time.monotonic() > _ENDS.get():
        raise TimeUpError
