"""The rule on loads that must not fail together."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.checking.report import Breach
from allocator.evaluation.context import Context
from allocator.evaluation.single_failures import FAILED


def function_survives(context: Context) -> Iterator[Breach]:
    """Of the *n* loads of a function, any single failure named in ``against`` takes at most n - survive."""
    taken = {kind: taken_by(context) for kind, taken_by in FAILED.items()}
    for function in context.problem.functions:
        loads = set(function.loads)
        for kind in function.against:
            for failure, lost in sorted(taken[kind].items()):
                over = len(loads & lost) - (len(loads) - function.survive)
                if over > 0:
                    text = (
                        f"function {function.name} loses {len(loads & lost)} of {len(loads)} loads with {failure}, "
                        f"{over} more than it may"
                    )
                    yield Breach(f"function {function.name} without {failure}", over, "loads", text)
