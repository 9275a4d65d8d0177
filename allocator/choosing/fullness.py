"""How full a choice makes each segment, and which of its wires cannot bear that."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from allocator.choosing.choose import Choice
from allocator.choosing.model import Model
from allocator.choosing.probing import probe
from allocator.choosing.rows import Variable
from allocator.choosing.variables import Term, Variables
from allocator.pricing import Crowd, Pricing
from allocator.routing import Route

Laid = tuple[Route, int, float]
"""The route of wires, how many of them there are, and the least bundle factor that each of them bears."""

Watched = Mapping[int, tuple[int, ...]]
"""Numbers of wires that matter, by segment."""


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


def too_full(pricing: Pricing, choice: Choice) -> dict[int, set[int]]:
    """What a choice makes overfull, as `overfull` says it; nothing where bundles do not count."""
    if pricing.crowd is None:
        return {}
    wires = list(laid(pricing, choice))
    return overfull(pricing.crowd, wires, counted(wires))


def watching_too(watched: Watched, over: Mapping[int, Iterable[int]]) -> Watched:
    """The numbers that matter, with those that were passed among them."""
    return {e: tuple(sorted({*watched.get(e, ()), *over.get(e, ())})) for e in sorted({*watched, *over})}


def filling(v: Variables) -> tuple[dict[int, list[Term]], Counter[int]]:
    """By segment, the wires that it holds: as terms of the model, and those that are settled."""
    pricing = v.pricing
    terms: dict[int, list[Term]] = {}

    def fill(variable: Variable, wires: Iterable[tuple[Route, int]]) -> None:
        for route, count in wires:
            for e in route.segments:
                terms.setdefault(e, []).append((variable, float(count)))

    for option in pricing.options:
        fill(v.take[option.index], ((c.route, c.count) for c in option.conductors))
    for direct in pricing.direct:
        fill(v.direct[direct.index], ((c.route, c.count) for c in direct.plan.conductors))
    for feed in pricing.feeds:
        fill(v.feed[feed.index], ((feed.route, 1),))
    return terms, counted((core.route, 1, core.needs) for core in pricing.given if core.current_a > 0)


def narrowed(crowd: Crowd, model: Model, cutoff_g: float) -> Crowd | None:
    """The crowd with what every segment holds in each solution of a model that weighs no more than a cutoff.

    None where no solution weighs so little. It holds for all that the model's options stand for if they were priced
    `told_apart`.
    """
    terms, settled = filling(model.variables)
    probed = probe(model, cutoff_g, terms)
    if probed is None:
        return None
    least, most = dict(crowd.least), dict(crowd.most)
    for e in most:
        low, high = probed.ranges.get(e, (0, 0))
        least[e] = max(least[e], low + settled[e])
        most[e] = max(least[e], min(most[e], high + settled[e]))
    held = {e for e, number in most.items() if number < crowd.most[e]}
    return replace(crowd, least=least, most=most, held=crowd.held | held)


def told_apart(crowd: Crowd) -> Crowd:
    """The crowd for which ways that differ in any segment that they pass are different options."""
    return replace(crowd, held=frozenset(crowd.most))


def spread_out(crowd: Crowd, numbers: int) -> Watched:
    """Up to so many numbers of wires for each segment, evenly over what it may hold but the most."""
    grid: dict[int, tuple[int, ...]] = {}
    for e, most in crowd.most.items():
        least, width = crowd.least[e], most - crowd.least[e]
        if width > 0:
            steps = min(numbers, width)
            grid[e] = tuple(sorted({least + k * width // steps for k in range(steps)}))
    return grid


def worthwhile(model: Model, cutoff_g: float) -> Pricing | None:
    """What is listed, less what stands in no solution that weighs no more than a cutoff; None where there is none."""
    probed = probe(model, cutoff_g)
    if probed is None:
        return None
    v, pricing = model.variables, model.pricing
    kept = [o for o in pricing.options if v.take[o.index].index not in probed.useless]
    feeds = [f for f in pricing.feeds if v.feed[f.index].index not in probed.useless]
    return replace(
        pricing,
        options=tuple(replace(option, index=n) for n, option in enumerate(kept)),
        feeds=tuple(replace(feed, index=n) for n, feed in enumerate(feeds)),
    )


def assumed(crowd: Crowd, full: Mapping[int, int]) -> Crowd:
    """A crowd in which every segment holds at most so many wires; all are sized for just that."""
    most = {e: min(most, max(1, full[e])) for e, most in crowd.most.items()}
    return replace(crowd, least=most, most=most, watched=None, held=frozenset(most))
