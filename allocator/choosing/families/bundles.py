"""How full the segments are: each wire bears so many neighbours and no more."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from allocator.choosing.rows import Row, Variable, at_most
from allocator.choosing.variables import Term, Variables
from allocator.pricing import room_taken


@dataclass
class Filling:
    """Terms of the wires that a segment may hold, and of those that bear only so many, by that number."""

    wires: list[Term] = field(default_factory=list)
    bearing: dict[int, list[Term]] = field(default_factory=dict)
    given: int = 0
    given_bearing: dict[int, int] = field(default_factory=dict)


def room_in_bundles(v: Variables) -> Iterator[Row]:
    """``wires[e] <= most[e]``, ``<= N[0] + sum_t (N[t+1] - N[t]) y[e, t]``; ``limited[e, t] <= N[t] (1 - y[e, t])``.

    ``y[e, t]`` (``fuller``): segment *e* holds more than ``N[t]`` wires, where the ``N[t]`` are all the numbers that
    some wire bears at the most; ``limited[e, t]`` counts the wires in *e* that bear no more than ``N[t]``. So the
    heavier wire is traded against the emptier route exactly.
    """
    crowd = v.pricing.crowd
    if crowd is None:
        return
    for number, segment in sorted(segments(v).items()):
        yield at_most(f"room[{number}]", segment.wires, crowd.most[number] - segment.given)
        bounds = sorted({*segment.bearing, *segment.given_bearing})
        if not bounds:
            continue
        most = [*bounds[1:], max(crowd.most[number], bounds[-1] + 1)]
        fuller = [_fuller(v, number, bound) for bound in bounds]
        steps = [(y, float(low - high)) for y, low, high in zip(fuller, bounds, most, strict=True)]
        yield at_most(f"wires[{number}]", [*segment.wires, *steps], bounds[0] - segment.given)
        limited: list[Term] = []
        given = 0
        for y, bound in zip(fuller, bounds, strict=True):
            limited += segment.bearing.get(bound, [])
            given += segment.given_bearing.get(bound, 0)
            yield at_most(f"limited[{number},{bound}]", [*limited, (y, float(bound))], bound - given)
        for before, after in pairwise(fuller):
            yield at_most(f"rising[{after.name}]", [(after, 1), (before, -1)], 0)


def _fuller(v: Variables, segment: int, bound: int) -> Variable:
    v.fuller[segment, bound] = v.add(f"fuller{segment}_{bound}")
    return v.fuller[segment, bound]


def segments(v: Variables) -> dict[int, Filling]:
    """What may lie in each segment that may hold more than one wire."""
    found: dict[int, Filling] = {}

    def count(variable: Variable, room: dict[int, int], caps: dict[int, tuple[int, ...]]) -> None:
        for e, wires in room.items():
            found.setdefault(e, Filling()).wires.append((variable, float(wires)))
        for e, all_ in caps.items():
            for bears in sorted(set(all_)):
                terms = found.setdefault(e, Filling()).bearing.setdefault(bears, [])
                terms.append((variable, float(all_.count(bears))))

    for option in v.pricing.options:
        count(v.take[option.index], option.plan.crowded, option.plan.caps)
    for direct in v.pricing.direct:
        count(v.direct[direct.index], direct.plan.crowded, direct.plan.caps)
    for feed in v.pricing.feeds:
        count(v.feed[feed.index], dict.fromkeys(feed.crowded, 1), {e: (n,) for e, n in feed.caps})
    for e, wires in room_taken(v.pricing.given).items():
        found.setdefault(e, Filling()).given = wires
    for core in v.pricing.given:
        for e, bears in core.caps:
            own = found.setdefault(e, Filling()).given_bearing
            own[bears] = own.get(bears, 0) + 1
    return found
