"""By how much what lies in a segment breaks the rules on bundles and cables, by the exact rule."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from allocator.model.laid_line import LaidLine
from allocator.model.segment_contents import SegmentContents
from allocator.problem import Bundling, Problem
from allocator.wiring import bundle_factor, bundle_heat, surroundings_of
from allocator.wiring.bundle_heat import TOLERANCE, beside_cable_a

ROUNDING = 1.0 + 1e-9


class Rule(StrEnum):
    """What may be broken in a segment."""

    HEAT = "heat"
    BESIDE_CABLE = "beside cable"
    WIRES = "wires"
    LOADING = "loading"
    CABLES = "cables"
    DROP = "drop"


@dataclass(frozen=True, slots=True)
class Excess:
    """A rule on a segment that is broken: by ``over`` above ``limit``; ``condition`` where it is held in each.

    ``heat`` is in W/m, ``loading`` in A, ``drop`` in V, of wires that the bundle warms; ``beside cable`` and ``wires``
    are wires, ``cables`` lie side by side. Of the heat ``hottest_w_m`` is what the hottest wire adds at its trip.
    """

    rule: Rule
    segment: int
    over: float
    limit: float
    condition: int | None = None
    hottest_w_m: float = 0.0


def excesses(problem: Problem, e: int, segment: SegmentContents) -> Iterator[Excess]:
    """Every rule that is broken in a segment, in each condition."""
    if segment.bundle and problem.margins.bundle is Bundling.HEAT:
        yield from _beside_cable(problem, e, segment)
        yield from _heat(problem, e, segment)
    if segment.bundle and problem.margins.bundle is Bundling.TABLE:
        yield from _past_stated(problem, e, segment)
    if problem.margins.bundle is not Bundling.NONE:
        yield from _side_by_side(e, segment)


def _beside_cable(problem: Problem, e: int, segment: SegmentContents) -> Iterator[Excess]:
    """Wires that are too small for their trip beside a cable."""
    around = surroundings_of(problem, e)
    if around is None or not segment.cables:
        return
    hot = [own for own in segment.bundle if own.wire.trip_a > beside_cable_a(own.wire.wire, around) * ROUNDING]
    if hot:
        yield Excess(Rule.BESIDE_CABLE, e, sum(own.count for own in hot), 0.0)


def _heat(problem: Problem, e: int, segment: SegmentContents) -> Iterator[Excess]:
    around = surroundings_of(problem, e)
    if around is None or segment.wires < 2:
        return
    for m in range(len(problem.conditions)):
        heat = bundle_heat(segment.carrying(m), around, beside=bool(segment.cables))
        if heat.passed:
            yield Excess(Rule.HEAT, e, heat.excess_w_m, heat.allowed_w_m, m, heat.worst_w_m)


def _past_stated(problem: Problem, e: int, segment: SegmentContents) -> Iterator[Excess]:
    most, loading = problem.stated_of(problem.segments[e])
    if segment.wires > most:
        yield Excess(Rule.WIRES, e, segment.wires - most, most)
    if most < 2:
        return
    bears = loading * sum(own.count * own.ampacity_a for own in segment.bundle)
    for m in range(len(problem.conditions)):
        carried = sum(own.count * own.currents_a[m] for own in segment.bundle)
        if carried > bears * (1.0 + TOLERANCE):
            yield Excess(Rule.LOADING, e, carried - bears, bears, m)


def _side_by_side(e: int, segment: SegmentContents) -> Iterator[Excess]:
    """The cable that allows the fewest beside it, where there are more."""
    cables = segment.side_by_side
    bears = min((_bears(own, cables) for own in segment.cables), default=cables)
    if bears < cables:
        yield Excess(Rule.CABLES, e, cables - bears, bears)


def _bears(own: LaidLine, cables: int) -> int:
    """How many of so many cables a cable can lie beside, itself included."""
    if own.at_most is not None:
        return min(own.at_most, cables)
    borne = (n for n in range(cables, 0, -1) if own.wire.trip_a <= own.alone_a * bundle_factor(n, 1.0) * ROUNDING)
    return next(borne, 0)
