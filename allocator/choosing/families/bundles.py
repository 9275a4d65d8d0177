"""How full the segments are: each wire bears so many neighbours and no more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from allocator.choosing.keys import Room, Wires
from allocator.choosing.rows import Row, Variable, at_most
from allocator.choosing.variables import Term, Variables
from allocator.pricing import room_taken


@dataclass
class Filling:
    """Terms of the wires that a segment may hold, and by number what limits it to that."""

    wires: list[Term] = field(default_factory=list)
    bearing: dict[int, dict[str, Bearing]] = field(default_factory=dict)
    given: int = 0


@dataclass
class Bearing:
    """Terms that choose for one group, direct load or slot, how many choices it has, and how many are made already."""

    choices: int
    terms: list[Term] = field(default_factory=list)
    made: int = 0


def room_in_bundles(v: Variables) -> Iterator[Row]:
    """``wires[e] <= N[0] + sum_t (N[t+1] - N[t]) y[e, t]``, ``sum_(o: to N[t]) n[o, i] x[o] <= n[i] (1 - y[e, t])``.

    ``y[e, t]`` (``fuller``): segment *e* holds more than ``N[t]`` wires, where the ``N[t]`` are all the numbers that
    some wire bears at the most, and the last one the most that it may hold. One row for each alike group, direct
    load and feed. So the heavier wire is traded against the emptier route exactly.
    """
    crowd = v.pricing.crowd
    if crowd is None:
        return
    for number, segment in sorted(segments(v).items()):
        yield at_most(Room(number), segment.wires, crowd.most[number] - segment.given)
        bounds = sorted(segment.bearing)
        if not bounds:
            continue
        most = [*bounds[1:], max(crowd.most[number], bounds[-1] + 1)]
        fuller = [_fuller(v, number, bound) for bound in bounds]
        steps = [(y, float(low - high)) for y, low, high in zip(fuller, bounds, most, strict=True)]
        yield at_most(Wires(number), [*segment.wires, *steps], bounds[0] - segment.given)
        limited: dict[str, Bearing] = {}
        for y, bound in zip(fuller, bounds, strict=True):
            for name, own in segment.bearing[bound].items():
                limited.setdefault(name, Bearing(own.choices, [], own.made)).terms.extend(own.terms)
            for name, own in sorted(limited.items()):
                terms = [*own.terms, (y, float(own.choices))]
                yield at_most(f"limited[{number},{bound},{name}]", terms, own.choices - own.made)
        for before, after in pairwise(fuller):
            yield at_most(f"rising[{after.name}]", [(after, 1), (before, -1)], 0)


def _fuller(v: Variables, segment: int, bound: int) -> Variable:
    v.fuller[segment, bound] = v.add(f"fuller{segment}_{bound}")
    return v.fuller[segment, bound]


def segments(v: Variables) -> dict[int, Filling]:
    """What may lie in each segment whose wires are counted."""
    found: dict[int, Filling] = {}
    pricing = v.pricing

    def fill(variable: Variable, room: Mapping[int, int]) -> None:
        for e, wires in room.items():
            found.setdefault(e, Filling()).wires.append((variable, float(wires)))

    def limit(name: str, choices: int, caps: Iterable[tuple[int, int]], terms: list[Term], made: int = 0) -> None:
        for e, bears in set(caps):
            by_name = found.setdefault(e, Filling()).bearing.setdefault(bears, {})
            by_name.setdefault(name, Bearing(choices, [], made)).terms.extend(terms)

    for option in pricing.options:
        take = v.take[option.index]
        fill(take, option.plan.crowded)
        caps = [(e, min(bears)) for e, bears in option.plan.caps.items()]
        for group, n in option.candidate.members:
            limit(f"load{group}", len(pricing.alike[group].loads), caps, [(take, float(n))])
    for direct in pricing.direct:
        fill(v.direct[direct.index], direct.plan.crowded)
        caps = [(e, min(bears)) for e, bears in direct.plan.caps.items()]
        limit(f"direct {direct.load.name}", 1, caps, [(v.direct[direct.index], 1.0)])
    for feed in pricing.feeds:
        fill(v.feed[feed.index], dict.fromkeys(feed.crowded, 1))
        limit(f"feed{feed.slot}", 1, feed.caps, [(v.feed[feed.index], 1.0)])
    for e, wires in room_taken(pricing.given).items():
        found.setdefault(e, Filling()).given = wires
    for core in pricing.given:
        limit(f"given {core.name}", 1, core.caps, [], made=1)
    return found
