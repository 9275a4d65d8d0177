"""Outputs that a current needs, by steps of rating: arithmetic before any unit is chosen."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from math import ceil

STEPS_A = (4.0, 6.3, 10.0, 16.0, 25.0)
"""Every other preferred rated current of IEC 60059 (the R5 series; from memory) in the range of one output.

That outputs come in these steps is an assumption: common practice, no source. Each unit has ratings of its own.
"""
OUTPUT_USE = 0.80
PARALLEL_USE = 0.90
RESERVE = 0.20
"""Share of outputs and amperes to keep free for later: common practice, no source."""

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class OutputSteps:
    """Steps of output ratings in A, ascending, and the shares of them that are used."""

    steps_a: tuple[float, ...] = STEPS_A
    output_use: float = OUTPUT_USE
    parallel_use: float = PARALLEL_USE

    def outputs(self, current_a: float) -> tuple[float, int]:
        """Rating in A and number of outputs in parallel for one load.

        The least step with ``current <= step x output_use``; above the largest of them the least ``k`` with
        ``current <= k x parallel_use x step x output_use``, as the rule of outputs has it.
        """
        usable = [step * self.output_use * (1.0 + _ROUNDING) for step in self.steps_a]
        place = bisect_left(usable, current_a)
        if place < len(usable):
            return self.steps_a[place], 1
        return self.steps_a[-1], max(2, ceil(current_a / (usable[-1] * self.parallel_use)))


def with_reserve(count: int, reserve: float) -> int:
    """Outputs to look for: those needed, and the share of them that is kept free on top, rounded up."""
    return ceil(count * (1.0 + reserve) - _ROUNDING)
