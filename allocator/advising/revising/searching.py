"""The best choice of a revision: solved until no bundle of it gets too warm."""

from __future__ import annotations

from collections.abc import Callable

from allocator.advising.revising.model import Revisable, revisable
from allocator.choosing import Choice
from allocator.layout import Layout
from allocator.pricing import Watch
from allocator.problem import Problem
from allocator.search import until_none_is_too_warm


class Search:
    """Chooses from what may stay and what is new; segments once watched are watched for every question."""

    def __init__(self, problem: Problem, built: Layout, resite: bool):
        self.problem, self.built, self.resite = problem, built, resite
        self.watch = Watch()

    def best(self, chosen: Callable[[Revisable], Choice]) -> tuple[Revisable, Choice]:
        """The best choice that makes no bundle too warm."""
        own, choice, self.watch = until_none_is_too_warm(
            lambda watch: revisable(self.problem, self.built, resite=self.resite, watch=watch),
            chosen,
            lambda own: own.pricing,
            self.watch,
        )
        return own, choice
