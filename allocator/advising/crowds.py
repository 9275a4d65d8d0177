"""Bundles in advice: how full the segments of a layout are, and what a search has learnt of them."""

from __future__ import annotations

from dataclasses import dataclass, field

from allocator.checking.context import Context
from allocator.choosing import Choice
from allocator.choosing.fullness import Watched, too_full, watching_too
from allocator.pricing import Crowd, Pricing, price
from allocator.problem import Problem
from allocator.search import too_loaded


def priced_alone(problem: Problem) -> Pricing:
    """A problem priced as if each wire lay alone: where bundles count a relaxation, and far shorter."""
    return price(problem, watched={})


def crowd_around(context: Context, fewer: int, more: int) -> Crowd | None:
    """Every segment as full as in a layout, give or take so many wires; None where bundles do not count."""
    crowd = context.crowd
    if crowd.loading is None:
        return None
    there = {n: crowd.wires.get(n, 0) for n in range(len(context.problem.segments))}
    least = {n: max(0, count - fewer) for n, count in there.items()}
    most = {n: count + more for n, count in there.items()}
    return Crowd(crowd.loading, least, most, raised=crowd.raised, held=frozenset(most))


def most_parallel(problem: Problem) -> int:
    """The most outputs that may feed one load."""
    return max((output.parallel for kind in problem.unit_types for output in kind.outputs), default=1)


@dataclass
class Watching:
    """Numbers of wires that matter, by segment, and columns of segments that are loaded more than the stated one.

    The search begins as if each wire lay alone, which is a bound. Where a choice puts more wires into a segment than
    one of them bears, that number is watched from then on; a choice in which nothing is overfull is the best there is
    at the stated columns. Only then is it asked whether it loads a segment more than its column says: that column is
    raised, and what is found then has no other bound than that of the stated columns.
    """

    watched: Watched = field(default_factory=dict)
    raised: dict[int, float] = field(default_factory=dict)

    def learns(self, pricing: Pricing, choice: Choice) -> bool:
        """Whether a choice makes a segment overfull; if so that number is watched."""
        over = {} if choice.objective_g is None else too_full(pricing, choice)
        self.watched = watching_too(self.watched, over)
        return bool(over)

    def raises(self, problem: Problem, pricing: Pricing, choice: Choice) -> bool:
        """Whether a choice loads a segment so much that one of its wires does not bear it; if so its column rises."""
        if pricing.crowd is None or choice.objective_g is None:
            return False
        asked = too_loaded(problem, pricing, choice)
        # a column that is as high already would be asked for again and again
        higher = {e: column for e, column in asked.items() if column > pricing.crowd.column(e)}
        self.raised.update(higher)
        return bool(higher)
