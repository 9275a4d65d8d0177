"""Where a search in bundles stands: the best layout known, what is proven, and whether it has to end."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf

from allocator.choosing import Progress
from allocator.choosing.choose import EQUAL_G
from allocator.search import Clock, Found


@dataclass
class Standing:
    """The best so far and a bound in grams on all layouts; ``gap`` is the one at which to stop."""

    clock: Clock
    gap: float
    listener: Callable[[Progress], None] | None
    best: Found | None = None
    bound_g: float = -inf
    interrupted: bool = False

    @property
    def best_g(self) -> float:
        """Objective of the best choice; infinite while there is none."""
        return inf if self.best is None or self.best.choice.objective_g is None else self.best.choice.objective_g

    @property
    def enough_g(self) -> float:
        """Bound at which a set of sites has nothing more to offer."""
        return self.best_g - max(EQUAL_G, self.gap * abs(self.best_g)) if self.best is not None else inf

    @property
    def stopped(self) -> bool:
        """Whether a limit or an interrupt has ended the search."""
        return self.interrupted or self.clock.left_s == 0.0

    def heard(self, _solver: Progress) -> None:
        """Tell the listener where the search stands whenever one of its solves says something."""
        if self.listener is not None:
            best = None if self.best is None else self.best_g
            bound = None if self.bound_g == -inf else min(self.bound_g, self.best_g)
            gap = (best - bound) / abs(best) if best and bound is not None else None
            self.listener(Progress(best, bound, gap, self.clock.seconds))
