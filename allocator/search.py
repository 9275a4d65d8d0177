"""What a search for the best layout has found, and the time that it has left."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace

from allocator.assembling import assemble
from allocator.checking.bundles import bundles
from allocator.choosing import OPTIMAL, Choice, Model, choose, held_against, pairs_of
from allocator.choosing.fullness import counted, laid
from allocator.clock import at_least, until
from allocator.pricing import Pricing, price
from allocator.problem import Problem
from allocator.wiring import bundle_factor

LEAST_S = 1.0
"""Seconds that making good a known layout may take beyond the limit."""

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
) -> Found:
    """The circuits of a relaxation's choice, each at its slot, in the true problem, held against the choice's bound."""
    with completing(first.interrupted):
        tight = price(problem, only=pairs_of(loose, first))
        choice = held_against(choose(tight, time_limit_s=time_limit_s, change=change), first.bound_g)
    return Found(tight, replace(choice, interrupted=first.interrupted), loose)


def better(found: Found, known: Found | None) -> Found:
    """The whole model's answer, or what was known before it where it stopped with nothing better."""
    if known is None or known.choice.objective_g is None or found.choice.status == OPTIMAL:
        return found
    if found.choice.objective_g is not None and found.choice.objective_g <= known.choice.objective_g:
        return found
    bounds = [bound for bound in (found.choice.bound_g, known.choice.bound_g) if bound is not None]
    return replace(known, choice=held_against(known.choice, max(bounds, default=None)))


def too_loaded(problem: Problem, pricing: Pricing, choice: Choice) -> dict[int, float]:
    """By segment, the column that a choice's loading asks for, where one of its wires does not bear that."""
    wires = list(laid(pricing, choice))
    full = counted(wires)
    columns = {bundle.segment: bundle.column for bundle in bundles(problem, assemble(pricing, choice))}
    more: dict[int, float] = {}
    for route, _, needs in wires:
        for e in route.segments:
            column = columns[e]
            if column is not None and bundle_factor(full[e], column) < needs * (1.0 - 1e-9):
                more[e] = column
    return more


def columns_raised(problem: Problem, raised: Mapping[int, float]) -> tuple[str, ...]:
    """What a proof leaves out where columns of segments were raised; nothing where none was."""
    if not raised:
        return ()
    names = [f"{problem.segments[e].name} to {100.0 * column:.0f} %" for e, column in raised.items()]
    shown = ", ".join(sorted(names)[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
    return (
        f"Loading columns of segments that were loaded more than the stated one were raised: {shown}. Layouts that "
        "load them less were not looked for, so the gap stays open; a higher bundle_loading would close it.",
    )
