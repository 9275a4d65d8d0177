"""Fitted units and their feeds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from allocator.assembly.segments import Laid
from allocator.assembly.taken import Taken
from allocator.layout import Feed, FittedUnit
from allocator.model import Solution
from allocator.options import FeedOption, OptionList, Slot
from allocator.options.feed_options import FOR_EVER_S
from allocator.problem import Line, Load, Problem
from allocator.wiring import (
    fuse_stands_a,
    resistance_ohm_m,
    running_temperature_c,
    standard_fuses,
    warmest_bundle_c,
    wire_g,
)


def fitted_unit(
    option_list: OptionList, solution: Solution, slot: Slot, name: str, taken: list[Taken], laid: Laid
) -> FittedUnit:
    """A unit at its site, with its currents, its feed and its spares.

    Parameters
    ----------
    option_list
        The listed options.
    solution
        The values of the solved model.
    slot
        The unit at its site.
    name
        Name of the unit in the layout.
    taken
        The chosen options of all units, each with its loads.
    laid
        What the solution lays where.
    """
    problem = option_list.problem
    currents = tuple(
        (condition, round(_worst_current(problem, m, taken), 6)) for m, condition in enumerate(problem.conditions)
    )
    feed = laid.feed(next(option_list.feeds[f] for f in solution.feeds if option_list.feeds[f].slot == slot.index))
    loads = [load for t in taken for _, own in t.loads for load in own]
    return FittedUnit(
        name=name,
        site=slot.site,
        type=slot.unit_type.name,
        feed=replace(
            _feed(problem, feed, loads, dict(currents), slot.unit.spare_current_a),
            factor=round(laid.factor(feed.route, Line.CABLE), 6),
        ),
        current_a=currents,
        spare=tuple(
            (slot.classes[q].output.name, slot.classes[q].bank, n) for s, q, n in solution.spare if s == slot.index
        ),
    )


def _worst_current(problem: Problem, condition: int, taken: list[Taken]) -> float:
    """Current of a unit in a condition with the ``robust`` largest spreads on top."""
    loads = [load for t in taken for _, own in t.loads for load in own]
    heats = [load.current_a * load.heating(condition) for load in loads]
    spreads = sorted((h * load.spread for h, load in zip(heats, loads, strict=True)), reverse=True)
    return sum(heats) + sum(spreads[: problem.margins.robust])


def _feed(
    problem: Problem,
    feed: FeedOption,
    loads: Sequence[Load],
    currents: Mapping[str, float],
    spare_a: float,
) -> Feed:
    most_a = max(currents.values()) + spare_a
    ambient, limit = feed.route.ambient_c, feed.wire.insulation_c
    bundle_c = warmest_bundle_c(problem, ambient, limit) if feed.route.segments else None
    hot = running_temperature_c(most_a, feed.ampacity_a, ambient, limit, bundle_c)
    drop = most_a * resistance_ohm_m(feed.wire, hot) * feed.length_m
    return Feed(
        size=feed.wire.size,
        route=feed.route.places,
        insulation_c=feed.wire.insulation_c,
        length_m=round(feed.length_m, 6),
        copper_g=feed.copper_g,
        wire_g=round(wire_g(feed.wire, feed.length_m), 3),
        fuse_a=_fuse(problem, most_a, loads, currents, spare_a),
        drop_percent=round(100.0 * drop / problem.running_v, 3),
    )


def _fuse(
    problem: Problem, most_a: float, loads: Sequence[Load], currents: Mapping[str, float], spare_a: float
) -> float:
    """The least standard fuse for the current of a unit that also stands the start of each of its loads."""
    needed = most_a / problem.margins.fuse_use * (1.0 - 1e-9)
    starts = [
        (currents[condition] + spare_a - load.current_a * load.heating(m) + load.inrush_a, load.inrush_s or FOR_EVER_S)
        for load in loads
        if load.inrush_a is not None
        for m, condition in enumerate(problem.conditions)
        if load.levels[m] > 0
    ]
    return next(
        fuse
        for fuse in standard_fuses()
        if fuse >= needed and all(current <= fuse_stands_a(fuse, seconds) * (1.0 + 1e-9) for current, seconds in starts)
    )
