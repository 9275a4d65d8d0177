"""Between how many and how many wires a segment holds in any layout that is worth having."""

from __future__ import annotations

from collections import Counter
from math import ceil, floor, inf

from allocator.choosing.choose import Choice
from allocator.choosing.families.bundles import segments
from allocator.choosing.model import build
from allocator.choosing.solver import ranges
from allocator.pricing import Crowd, Pricing, room_taken


def counted(pricing: Pricing, choice: Choice) -> Counter[int]:
    """Wires in each segment that may hold more than one."""
    wires = room_taken(pricing.given)
    for option, n in choice.options:
        for e, count in pricing.options[option].plan.crowded.items():
            wires[e] += n * count
    wires.update(e for d in choice.direct for e in pricing.direct[d].plan.crowded.elements())
    wires.update(e for f in choice.feeds for e in pricing.feeds[f].crowded)
    return wires


def assumed(bare: Pricing, wires: Counter[int], loading: float, room: int = 0) -> Crowd:
    """A crowd in which every segment holds at most the wires counted and some ``room``; all are sized for just that."""
    assert bare.crowd is not None
    full = {e: min(most, max(1, wires[e] + room)) for e, most in bare.crowd.most.items()}
    return Crowd(loading, full, full)


def bounded(bare: Pricing, cutoff_g: float, loading: float) -> Crowd:
    """The crowd of all layouts whose objective is at most the cut-off.

    ``bare`` is priced as if each wire lay alone: no layout costs less than its linear relaxation says, so the
    least and the most wires of a segment over it hold for every layout at least as good as one that is known.
    """
    assert bare.crowd is not None
    model = build(bare)
    least, most = dict(bare.crowd.least), dict(bare.crowd.most)
    filled = segments(model.variables)
    found = ranges(model, [segment.wires for segment in filled.values()], cutoff_g + 1e-3)
    for (e, segment), (low, high) in zip(filled.items(), found, strict=True):
        if -inf < low <= high < inf:
            least[e] = max(least[e], ceil(low - 1e-4) + segment.given)
            most[e] = min(most[e], floor(high + 1e-4) + segment.given)
    return Crowd(loading, least, most)
