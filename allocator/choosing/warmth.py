"""How warm the bundles of a choice are, and which of its loads lose too much between them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from allocator.choosing.choose import Choice
from allocator.choosing.laid import Segment
from allocator.pricing import Plan, Pricing
from allocator.pricing.warm import bundled_in, limit_v, members_of, temperatures, warm_drops_v
from allocator.pricing.watch import Warm
from allocator.problem import Bundling, Load, Problem
from allocator.wiring import surroundings_of

HALVINGS = 30


@dataclass(frozen=True, slots=True)
class TooWarm:
    """A load that loses ``over`` V more than its ``limit`` between bundles: such as, or warmer than, ``bundles``."""

    load: Load
    over: float
    limit: float
    bundles: tuple[Warm, ...]


def bodies(problem: Problem, segments: Mapping[int, Segment]) -> tuple[Warm, ...]:
    """The middle of every bundle of two wires or more in the condition in which it is warmest."""
    found = []
    for e, segment in segments.items():
        around = surroundings_of(problem, e)
        if problem.margins.bundle is not Bundling.HEAT or around is None or segment.wires < 2:
            continue
        heats = [
            sum(around.given_w_m(one.wire, one.current_a) for one in segment.carrying(m))
            for m in range(len(problem.conditions))
        ]
        most = max(heats)
        rise = around.rise_k(most, segment.squares_mm2, beside=bool(segment.cables))
        found.append(Warm(e, heats.index(most), around.ambient_c + rise))
    return tuple(found)


def too_warm(pricing: Pricing, choice: Choice, segments: Mapping[int, Segment]) -> Iterator[TooWarm]:
    """Loads of a choice that lose more than they may, their wires as warm as their bundles make them."""
    problem = pricing.problem
    found = bodies(problem, segments)
    warm = temperatures(found)
    for plan, loads in _plans(pricing, choice):
        for load, volts in warm_drops_v(problem, plan, loads, warm):
            most = limit_v(problem, load)
            if volts > most:
                own = [(group, one) for group, one in loads if one is load]
                yield TooWarm(load, volts - most, most, _as_warm(problem, plan, own, found))


def _plans(pricing: Pricing, choice: Choice) -> Iterator[tuple[Plan, tuple[tuple[int | None, Load], ...]]]:
    for o, _ in choice.options:
        option = pricing.options[o]
        yield option.plan, members_of(option.candidate.members, pricing.alike)
    for d in choice.direct:
        yield pricing.direct[d].plan, ((None, pricing.direct[d].load),)


def _as_warm(
    problem: Problem, plan: Plan, loads: list[tuple[int | None, Load]], found: tuple[Warm, ...]
) -> tuple[Warm, ...]:
    """Bundles no warmer than those met, between which it still loses too much: the coolest by one share of the rise."""
    inside = bundled_in(problem, plan)
    own = [one for one in found if one.segment in inside]

    def cooled(share: float) -> tuple[Warm, ...]:
        return tuple(one._replace(body_c=_cooled(problem, one, share)) for one in own)

    def fails(share: float) -> bool:
        drops = warm_drops_v(problem, plan, loads, temperatures(cooled(share)))
        return any(volts > limit_v(problem, load) for load, volts in drops)

    low, high = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if fails(middle) else (middle, high)
    kept = cooled(high)
    # what warms no wire of it above its own temperature does not count
    for one in kept:
        rest = tuple(other for other in kept if other != one)
        drops = warm_drops_v(problem, plan, loads, temperatures(rest))
        if any(volts > limit_v(problem, load) for load, volts in drops):
            kept = rest
    return kept


def _cooled(problem: Problem, one: Warm, share: float) -> float:
    ambient = problem.segment_ambient_c(problem.segments[one.segment])
    return ambient + share * (one.body_c - ambient)
