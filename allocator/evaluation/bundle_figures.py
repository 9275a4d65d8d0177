"""The bundle of each segment of a layout: its wires, its loading, its heat, the cables beside it."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

from allocator.evaluation.context import Context
from allocator.evaluation.prepare import prepare
from allocator.evaluation.segment_lines import SegmentLine, by_segment, squares_of
from allocator.evaluation.tolerance import excess
from allocator.layout import Layout
from allocator.once import once
from allocator.problem import Bundling, Problem
from allocator.wiring import BundledWire, Surroundings, bundle_factor, bundle_heat, surroundings_of
from allocator.wiring.bundle_heat import PACKING
from allocator.wiring.bundles import LOADINGS


@dataclass(frozen=True, slots=True, kw_only=True)
class Warmth:
    """Heat of a bundle in one condition, in W/m: what all give, what the hottest adds at its trip, what is allowed.

    ``hottest`` is the label of that wire. ``rise_k`` is how far it gets above the ambient at its trip, every allowance
    counted, ``most_k`` how far its insulation class lets it: equal at the heat allowed.
    """

    condition: str
    heat_w_m: float
    worst_w_m: float
    allowed_w_m: float
    hottest: str
    rise_k: float
    most_k: float

    @property
    def share(self) -> float:
        """Heat with the hottest wire at its trip over what is allowed."""
        total = self.heat_w_m + self.worst_w_m
        return total / self.allowed_w_m if self.allowed_w_m > 0.0 else float("inf")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bundle:
    """The lines of one segment.

    ``segment`` is its number in the problem. ``wires`` lie in the bundle, ``cables`` beside it, all once for each pass.
    ``loading`` holds (condition, current of all wires over the sum of their ampacities). ``warmth`` is the heat of the
    bundle by condition; empty for a wire alone, and where bundles do not go by heat. ``diameter_mm`` is that of a round
    bundle, the wire's own for one wire; ``filled_mm2`` is the area of its wires with their insulation. ``published`` is
    the factor that the published table asks for at its wires and loading, ``below`` the wires that do not meet it, once
    for each core: for comparison.
    """

    segment: int
    name: str
    wires: int
    cables: int
    loading: tuple[tuple[str, float], ...]
    diameter_mm: float
    filled_mm2: float
    published: float
    below: tuple[str, ...] = ()
    warmth: tuple[Warmth, ...] = ()

    @property
    def fullest(self) -> tuple[str, float]:
        """The condition of the highest loading, and that loading."""
        return max(self.loading, key=lambda pair: pair[1])

    @property
    def warmest(self) -> Warmth | None:
        """The condition nearest to what is allowed, or farthest above; None without heat."""
        return max(self.warmth, key=lambda one: one.share, default=None)


def bundles(problem: Problem, layout: Layout) -> tuple[Bundle, ...]:
    """What lies together in each segment of a layout, in the order of the problem's segments; empty ones left out.

    Everything follows from the routes and sizes of the layout, as in the check; it is never read from what the layout
    states.
    """
    return bundles_of(prepare(problem, layout))


@once
def bundles_of(context: Context) -> tuple[Bundle, ...]:
    """The bundle of each segment that has any line, in the order of the problem's segments."""
    return tuple(_bundle(context, segment, own) for segment, own in by_segment(context))


def bundle_of(context: Context, segment: int) -> Bundle:
    """The bundle of one segment that has a line."""
    return _bundle(context, segment, dict(by_segment(context))[segment])


def _bundle(context: Context, segment: int, laid: list[SegmentLine]) -> Bundle:
    problem = context.problem
    inside = [one for one in laid if not one.beside]
    ampacity = sum(one.cores * (one.conductor.ampacity_a or 0.0) for one in inside)
    currents = [sum(one.cores * one.currents_a[m] for one in inside) for m in range(len(problem.conditions))]
    shares = [current / ampacity if ampacity > 0.0 else 0.0 for current in currents]
    wires = sum(one.cores for one in inside)
    published = bundle_factor(wires, min(1.0, max(*shares, LOADINGS[0])))
    around = surroundings_of(problem, segment) if problem.margins.bundle is Bundling.HEAT and wires > 1 else None
    squares_mm2, sized = squares_of(inside)
    return Bundle(
        segment=segment,
        name=problem.segments[segment].name,
        wires=wires,
        cables=sum(one.cores for one in laid if one.beside),
        loading=tuple(zip(problem.conditions, shares, strict=True)),
        diameter_mm=sqrt(squares_mm2) * (PACKING if sized > 1 else 1.0),
        filled_mm2=squares_mm2 * pi / 4.0,
        published=published,
        below=tuple(
            one.conductor.label
            for one in inside
            for _ in range(one.cores)
            if one.conductor.free_a is not None and excess(one.guard_a, one.conductor.free_a * published) > 0.0
        ),
        warmth=() if around is None else _warmth(context, around, laid, inside),
    )


def _warmth(
    context: Context, around: Surroundings, laid: list[SegmentLine], inside: list[SegmentLine]
) -> tuple[Warmth, ...]:
    """Heat in each condition; none where a wire is of no known size, which another rule names."""
    if any(one.conductor.row is None for one in inside):
        return ()
    each = [one for one in inside for _ in range(one.cores)]
    beside, (squares_mm2, _) = any(one.beside for one in laid), squares_of(inside)
    found = []
    for m, condition in enumerate(context.problem.conditions):
        wires = [BundledWire(one.conductor.row, one.currents_a[m], one.guard_a) for one in each if one.conductor.row]
        heat = bundle_heat(wires, around, beside=beside)
        found.append(
            Warmth(
                condition=condition,
                heat_w_m=heat.heat_w_m,
                worst_w_m=heat.worst_w_m,
                allowed_w_m=heat.allowed_w_m,
                hottest=each[heat.hottest].conductor.label,
                rise_k=around.rise_k(heat.heat_w_m + heat.worst_w_m, squares_mm2, beside=beside),
                most_k=around.limit_c - around.ambient_c,
            )
        )
    return tuple(found)
