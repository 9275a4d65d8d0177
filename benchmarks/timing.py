"""Processor seconds of a call: what else runs on the machine disturbs them little. All solvers here use one thread."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    import highspy

T = TypeVar("T")


def timed(call: Callable[[], T]) -> tuple[T, float]:
    """What a call returns, and the processor seconds it took."""
    began = time.process_time()
    result = call()
    return result, time.process_time() - began


def stop_after(highs: highspy.Highs, seconds: float) -> None:
    """Interrupt HiGHS after so many processor seconds from now (its own limit is one of the clock on the wall)."""
    import highspy

    began = time.process_time()

    def called(_kind: Any, _message: str, _data: Any, answer: Any, _user: Any) -> None:
        if time.process_time() - began > seconds:
            answer.user_interrupt = True

    highs.setCallback(called, None)
    for kind in (
        highspy.cb.HighsCallbackType.kCallbackMipInterrupt,
        highspy.cb.HighsCallbackType.kCallbackSimplexInterrupt,
    ):
        highs.startCallback(kind)


def yardstick_s(repeats: int = 7) -> float:
    """Least seconds of a fixed piece of work: baselines of faster and slower machines are compared by it."""

    def work() -> int:
        table: dict[int, int] = {}
        for n in range(300_000):
            table[n % 1009] = table.get(n % 1009, 0) + n * n % 7
        return len(table)

    return min(timed(work)[1] for _ in range(repeats))
