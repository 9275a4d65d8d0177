"""The best choice of a revision; where bundles count by solving until none of them is overfull."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from allocator.advising.crowds import Watching
from allocator.advising.revising.model import Revisable, revisable
from allocator.choosing import NOTHING_FOUND, Choice, held_against
from allocator.layout import Layout
from allocator.problem import Problem


class Search:
    """Chooses from what may stay and what is new; where bundles count again and again, until none is overfull."""

    def __init__(self, problem: Problem, built: Layout, resite: bool):
        self.problem, self.built, self.resite = problem, built, resite
        self.watching = Watching()

    def best(self, chosen: Callable[[Revisable], Choice]) -> tuple[Revisable, Choice]:
        """The best choice, held against the bound of the stated columns where some had to be raised."""
        bound_g: float | None = None
        while True:
            own = revisable(self.problem, self.built, resite=self.resite, watching=self.watching)
            choice = chosen(own)
            if self.watching.learns(own.pricing, choice):
                continue
            if not self.watching.raised:
                bound_g = choice.bound_g
            elif choice.objective_g is None:
                return own, replace(choice, status=NOTHING_FOUND, bound_g=bound_g)
            if choice.interrupted or not self.watching.raises(self.problem, own.pricing, choice):
                return own, held_against(choice, bound_g) if self.watching.raised else choice
