"""How warm the bundles of a solution are, and which of its loads lose too much between them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from allocator.model.segment_contents import SegmentContents
from allocator.model.solution import Solution
from allocator.options import OptionList, WiringPlan
from allocator.options.lazy_rows import WarmBundle
from allocator.options.warmed_wires import bundled_in, limit_v, members_of, temperatures, warm_drops_v
from allocator.problem import Bundling, Load, Problem
from allocator.wiring import surroundings_of

HALVINGS = 30

STEPS = (0.02, 0.05, 0.1)
"""Shares of its rise by which one bundle of several is taken warmer, and the others cooler to match.

Cutting off only the point that was met lets the next solution have one bundle a little cooler and another a little
warmer: a load of the clinic van took eleven rounds to move elsewhere.
"""


@dataclass(frozen=True, slots=True)
class TooWarm:
    """A load that loses ``over`` V more than its ``limit`` between bundles as warm as ``bundles`` or warmer.

    It would between each of ``sets``; ``bundles`` is the one that was met.
    """

    load: Load
    over: float
    limit: float
    sets: tuple[tuple[WarmBundle, ...], ...]

    @property
    def bundles(self) -> tuple[WarmBundle, ...]:
        """The coolest set, of the bundles met, between which it still loses too much."""
        return self.sets[0]


def bodies(problem: Problem, segments: Mapping[int, SegmentContents]) -> tuple[WarmBundle, ...]:
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
        found.append(WarmBundle(e, heats.index(most), around.ambient_c + rise))
    return tuple(found)


def too_warm(option_list: OptionList, solution: Solution, segments: Mapping[int, SegmentContents]) -> Iterator[TooWarm]:
    """Loads of a solution that lose more than they may, their wires as warm as their bundles make them."""
    problem = option_list.problem
    found = bodies(problem, segments)
    warm = temperatures(found)
    for plan, loads in _plans(option_list, solution):
        for load, volts in warm_drops_v(problem, plan, loads, warm):
            most = limit_v(problem, load)
            if volts > most:
                own = [(group, one) for group, one in loads if one is load]
                yield TooWarm(load, volts - most, most, tuple(_too_warm_sets(problem, plan, own, found)))


def _plans(
    option_list: OptionList, solution: Solution
) -> Iterator[tuple[WiringPlan, tuple[tuple[int | None, Load], ...]]]:
    for o, _ in solution.options:
        option = option_list.options[o]
        yield option.plan, members_of(option.candidate.members, option_list.load_groups)
    for d in solution.direct:
        yield option_list.direct[d].plan, ((None, option_list.direct[d].load),)


def _too_warm_sets(
    problem: Problem, plan: WiringPlan, loads: list[tuple[int | None, Load]], found: tuple[WarmBundle, ...]
) -> Iterator[tuple[WarmBundle, ...]]:
    """Sets of bundles between which it just loses too much: as they were met, then with one of them warmer."""
    inside = bundled_in(problem, plan)

    def fails(bundles: tuple[WarmBundle, ...]) -> bool:
        drops = warm_drops_v(problem, plan, loads, temperatures(bundles))
        return any(volts > limit_v(problem, load) for load, volts in drops)

    met = _coolest(problem, tuple(one for one in found if one.segment in inside), fails)
    for one in met:
        # what warms no wire of it above its own temperature does not count
        rest = tuple(other for other in met if other != one)
        if fails(rest):
            met = rest
    yield met
    for one in met if len(met) > 1 else ():
        others = tuple(other for other in met if other != one)
        for step in STEPS:
            warmer = one._replace(body_c=_at_share(problem, one, 1.0 + step))
            if fails((warmer,)):
                # from there on it does not need the others
                yield _coolest(problem, (warmer,), fails)
                break
            yield tuple(sorted((warmer, *_coolest(problem, others, fails, beside=(warmer,)))))


def _coolest(
    problem: Problem,
    bundles: tuple[WarmBundle, ...],
    fails: Callable[[tuple[WarmBundle, ...]], bool],
    beside: tuple[WarmBundle, ...] = (),
) -> tuple[WarmBundle, ...]:
    """Bundles cooled by one share of their rise as far as it still fails, others ``beside`` as they are."""
    low, high = 0.0, 1.0
    kept = bundles
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        cooled = tuple(one._replace(body_c=_at_share(problem, one, middle)) for one in bundles)
        if fails((*beside, *cooled)):
            high, kept = middle, cooled
        else:
            low = middle
    return kept


def _at_share(problem: Problem, one: WarmBundle, share: float) -> float:
    """The temperature of a bundle at a share of its rise."""
    ambient = problem.segment_ambient_c(problem.segments[one.segment])
    return ambient + share * (one.body_c - ambient)
