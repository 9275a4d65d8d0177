"""What a search for the best layout has found, and the time that it has left."""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from itertools import count
from math import inf
from typing import TypeVar

from allocator.choosing import OPTIMAL, Choice, Model, choose, held_against, pairs_of
from allocator.choosing.choose import EQUAL_G, INFEASIBLE, by_the_wires_of
from allocator.choosing.passed import passed
from allocator.clock import at_least, until
from allocator.pricing import Cutoff, Pricing, Watch, price
from allocator.problem import Problem

T = TypeVar("T")

LEAST_S = 1.0
"""Seconds that making good a known layout may take beyond the limit."""

EXACT_ROUNDS, KEPT_BACK = 2, 0.01
"""Rounds in which a layout is made good by the rows as they are; the share of heat kept back in each further one."""

MUCH = 0.003
"""Share of a whole layout by which the wires of a circuit may pass the lightest while a layout is made good."""

COMPLETING_S, COMPLETING_SHARE = 0.004, 0.25
"""Seconds a load that assembling, checking and showing take, kept back from the limit; never more than this share."""


class Clock:
    """Seconds since it was made, and those left of a limit for searching; None for no limit.

    With ``loads`` so much of the limit is kept back as it takes to complete a layout of so many; ``kept_back_s`` more
    are where nothing has been found by then.
    """

    def __init__(self, limit_s: float | None, loads: int = 0, kept_back_s: float = 0.0):
        self.kept_back_s = kept_back_s
        self._began = time.monotonic()
        self._limit_s = None
        if limit_s is not None:
            self._limit_s = limit_s - min(COMPLETING_S * loads, COMPLETING_SHARE * limit_s)

    @property
    def seconds(self) -> float:
        """Seconds gone."""
        return time.monotonic() - self._began

    @property
    def left_s(self) -> float | None:
        """Seconds left, never below 0."""
        return None if self._limit_s is None else max(0.0, self._limit_s - self.seconds)

    def left_for(self, known: object) -> float | None:
        """Seconds for a solve; at least one where something is known, for a layout in hand is worth it."""
        left = self.left_s
        return left if left is None or known is None else max(left, LEAST_S)

    def searching(self, known: object = None) -> AbstractContextManager[None]:
        """Within, every long loop ends where the time for searching is up."""
        return until(self.left_for(known))


def completing(interrupted: bool) -> AbstractContextManager[None]:
    """Within, there is a second at the least to make good what is known; once interrupted, no more than that."""
    return until(LEAST_S) if interrupted else at_least(LEAST_S)


def until_none_is_too_warm(
    listed: Callable[[Watch], T],
    chosen: Callable[[T], Choice],
    pricing_of: Callable[[T], Pricing],
    watch: Watch,
) -> tuple[T, Choice, Watch]:
    """Choose, and watch the segments that get too warm, until none does; each choice on the way is a bound.

    ``listed`` is all there is to choose from while some segments are watched. A choice that was interrupted is left
    out where it breaks a rule on bundles: its bound stands.
    """
    while True:
        own = listed(watch)
        choice = chosen(own)
        more = passed(pricing_of(own), choice)
        if not more:
            return own, choice, watch
        if choice.interrupted:
            return own, held_against(replace(choice, objective_g=None), choice.bound_g), watch
        watch |= more


@dataclass(frozen=True)
class Found:
    """A choice, the pricing it is made of, and the pricing whose options its proof covers."""

    pricing: Pricing
    choice: Choice
    covered: Pricing


def made_good(
    problem: Problem,
    loose: Pricing,
    first: Choice,
    time_limit_s: float | None,
    change: Callable[[Model], Model] | None = None,
    watch: Watch | None = None,
) -> tuple[Found, Watch]:
    """The circuits of a choice, each at its slot, in the true problem: with other wires where bundles ask for them.

    Held against the bound of the first choice, and with the segments that had to be watched.
    """
    pairs, watch = pairs_of(loose, first), watch or loose.watch
    # what weighs much more than the lightest is seldom of use here, and listing it takes long
    target_g = -inf if first.bound_g is None else first.bound_g + EQUAL_G
    cutoffs: tuple[Cutoff, ...] = (Cutoff(Watch(), MUCH * (first.objective_g or inf)),)
    with completing(first.interrupted):
        for round_number in count():
            # answers that get away from the rows by a hair would take many rounds: then a little is kept back
            spared = min(KEPT_BACK * max(0, round_number - EXACT_ROUNDS), 1.0)
            tight = price(problem, only=pairs, watch=replace(watch, kept_back=spared), cutoffs=cutoffs)
            if round_number == 0 and not passed(loose, first):
                # often only the banks are left to deal out
                very = by_the_wires_of(tight, loose, first)
                choice = choose(very, time_limit_s=time_limit_s, change=change, target_g=target_g)
                if choice.objective_g is not None and choice.objective_g <= target_g and not passed(very, choice):
                    tight = very
                    break
            choice = choose(tight, time_limit_s=time_limit_s, change=change, target_g=target_g)
            if choice.status == INFEASIBLE and cutoffs:
                cutoffs = ()
                continue
            more = passed(tight, choice)
            if not more:
                break
            watch |= more
    choice = held_against(choice, first.bound_g)
    return Found(tight, replace(choice, interrupted=first.interrupted), loose), watch


def better(found: Found, known: Found | None) -> Found:
    """The latest answer, or what was known before it where it is nothing better; held against the better bound."""
    if known is None or known.choice.objective_g is None or found.choice.status == OPTIMAL:
        return found
    bounds = [bound for bound in (found.choice.bound_g, known.choice.bound_g) if bound is not None]
    bound = max(bounds, default=None)
    if found.choice.objective_g is not None and found.choice.objective_g <= known.choice.objective_g:
        return replace(found, choice=held_against(found.choice, bound))
    interrupted = found.choice.interrupted or known.choice.interrupted
    choice = replace(held_against(known.choice, bound), interrupted=interrupted)
    return replace(known, choice=choice, covered=found.covered)
