"""The best solution of a revision: solved until no bundle of it gets too warm."""

from __future__ import annotations

from collections.abc import Callable

from allocator.layout import Layout
from allocator.model import Solution
from allocator.options import LazyRows
from allocator.problem import Problem
from allocator.revising.revision_model import Revisable, revisable
from allocator.search.lazy_loop import optimise_lazily


class Search:
    """Takes from what may stay and what is new; lazy rows once added stay for every question."""

    def __init__(self, problem: Problem, built: Layout, resite: bool):
        self.problem, self.built, self.resite = problem, built, resite
        self.lazy = LazyRows()

    def best(self, chosen: Callable[[Revisable], Solution]) -> tuple[Revisable, Solution]:
        """The best solution that makes no bundle too warm."""
        own, solution, self.lazy = optimise_lazily(
            lambda lazy: revisable(self.problem, self.built, resite=self.resite, lazy=lazy),
            chosen,
            lambda own: own.option_list,
            self.lazy,
        )
        return own, solution
