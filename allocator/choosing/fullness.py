"""How full a choice makes each segment, and which of its wires cannot bear that."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from allocator.choosing.choose import Choice
from allocator.pricing import Crowd, Pricing
from allocator.routing import Route

Laid = tuple[Route, int, float]
"""The route of wires, how many of them there are, and the least bundle factor that each of them bears."""


def laid(pricing: Pricing, choice: Choice) -> Iterator[Laid]:
    """Every wire of a choice that counts in bundles."""
    for option, n in choice.options:
        yield from ((c.route, n * c.count, c.needs) for c in pricing.options[option].conductors)
    for d in choice.direct:
        yield from ((c.route, c.count, c.needs) for c in pricing.direct[d].plan.conductors)
    for f in choice.feeds:
        yield (pricing.feeds[f].route, 1, pricing.feeds[f].needs)
    yield from ((core.route, 1, core.needs) for core in pricing.given if core.current_a > 0)


def counted(wires: Iterable[Laid]) -> Counter[int]:
    """How many wires lie in each segment."""
    full: Counter[int] = Counter()
    for route, count, _ in wires:
        for e in route.segments:
            full[e] += count
    return full


def overfull(crowd: Crowd, wires: Iterable[Laid], full: Mapping[int, int]) -> dict[int, set[int]]:
    """By segment, the numbers of wires that some wire in it bears at the most, and that are passed there."""
    found: dict[int, set[int]] = {}
    for route, _, needs in wires:
        for e in route.segments:
            bears = crowd.bears(e, needs)
            if bears < full[e]:
                found.setdefault(e, set()).add(bears)
    return found


def assumed(crowd: Crowd, full: Mapping[int, int]) -> Crowd:
    """A crowd in which every segment holds at most so many wires; all are sized for just that."""
    most = {e: min(most, max(1, full[e])) for e, most in crowd.most.items()}
    return replace(crowd, least=most, most=most, watched=None)
