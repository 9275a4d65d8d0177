"""The least fuses of feeds and direct loads, and the starts that they stand."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from allocator.evaluation.branches import Mounted
from allocator.evaluation.context import Context
from allocator.evaluation.tolerance import excess
from allocator.problem import Load, Problem
from allocator.wiring import fuse_stands_a, standard_fuses


class Start(NamedTuple):
    """What a fuse carries while a load behind it starts: amperes, for so many seconds; of a feed, in a condition."""

    load: str
    condition: str
    current_a: float
    seconds: float


def own_start(load: Load) -> tuple[Start, ...]:
    """The start of a load behind a fuse of its own; none where it has no start current."""
    if load.inrush_a is None or load.inrush_s is None:
        return ()
    return (Start(load.name, "", load.inrush_a, load.inrush_s),)


def starts(context: Context, unit: Mounted) -> Iterator[Start]:
    """What the feed of a unit carries at each start: all else in that condition, and the current of the start."""
    circuits = context.on_unit(unit.name)
    for m, condition in enumerate(context.problem.conditions):
        base = context.heating_a(circuits, m) + unit.unit.spare_current_a
        for load in (load for fed in circuits for load in fed.loads):
            if load.inrush_a is not None and load.inrush_s is not None and load.levels[m] > 0.0:
                current = base - load.current_a * load.heating(m) + load.inrush_a
                yield Start(load.name, condition, current, load.inrush_s)


def feed_fuse(context: Context, unit: Mounted) -> float | None:
    """The least standard fuse that serves the current of a feed and stands every start; None where there is none."""
    return _least(context.problem, context.feed_current_a(unit.name), tuple(starts(context, unit)))


def direct_fuse(problem: Problem, load: Load) -> float | None:
    """The least standard fuse that serves a direct load and stands its start; None where there is none."""
    return _least(problem, load.full_current_a, own_start(load))


def _least(problem: Problem, current_a: float, begun: tuple[Start, ...]) -> float | None:
    use = problem.margins.fuse_use
    for fuse in standard_fuses():
        if excess(current_a, use * fuse) == 0.0 and _stands(fuse, begun):
            return fuse
    return None


def _stands(fuse_a: float, begun: tuple[Start, ...]) -> bool:
    return all(excess(start.current_a, fuse_stands_a(fuse_a, start.seconds)) == 0.0 for start in begun)
