"""What lies together in one segment, and whether it may: by the heat of its wires, by the table, side by side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from math import log, pi, sqrt

from allocator.problem import Bundling, Line, Problem, Wire
from tests.oracle.physics import at_most, bundle_factor, diameters_mm, free_air_a, ohm_per_m, steady_w_m

ACROSS_W_M_K = 0.08
BESIDE = 0.825
STEP_MM2 = 0.01
ROUNDING = 1e-6
NEAR = 1e-5
"""Share of what is allowed within which a bundle is too near to its limit to say on which side of it."""


class NearTieError(Exception):
    """A bundle or a drop is within a hair of its limit, so that two ways to reckon may differ on it."""


@dataclass(frozen=True)
class Lying:
    """``count`` alike lines as they lie in segments.

    ``trip_a`` is the trip or fuse that each is behind, of a given wire its current; ``currents_a`` what each carries in
    each condition, () for a feed, which carries what its unit draws. ``side_by_side`` is the most cables, a bundle
    among them counting as one, that may lie where it lies; None for what lies in the bundle itself.
    """

    wire: Wire
    segments: tuple[int, ...]
    count: int
    trip_a: float
    currents_a: tuple[float, ...]
    ampacity_a: float
    side_by_side: int | None

    @property
    def inside(self) -> bool:
        """Whether it lies in the bundle, and not beside it."""
        return self.side_by_side is None

    def does_for(self, other: Lying) -> bool:
        """Whether it makes no difference to anything around it when it lies there instead of another."""
        alike = (self.wire, self.segments, self.count, self.trip_a, self.currents_a)
        return alike == (other.wire, other.segments, other.count, other.trip_a, other.currents_a) and (
            self.side_by_side == other.side_by_side
            or (self.side_by_side is not None and self.side_by_side >= (other.side_by_side or 0))
        )


def all_do_for(lines: Sequence[Lying], others: Sequence[Lying]) -> bool:
    """Whether lines may lie in the place of others, one for one."""
    return len(lines) == len(others) and all(a.does_for(b) for a, b in zip(lines, others, strict=True))


@dataclass(frozen=True)
class Around:
    """Where the bundle of a segment lies: air, lowest class that may lie there, and what is left of currents."""

    ambient_c: float
    limit_c: float
    altitude_m: float
    allowance: float

    def free_w_m(self, squares: int) -> float:
        """Heat at which the middle of a bundle of so many steps of ``d^2`` reaches the class."""
        return _free_w_m(squares, self.ambient_c, self.limit_c, self.altitude_m)

    def allowed_w_m(self, squares: int, *, beside: bool) -> float:
        """Heat that it may give, less where a cable lies beside."""
        return (self.allowance * (BESIDE if beside else 1.0)) ** 2 * self.free_w_m(squares)

    def gives_w_m(self, wire: Wire, current_a: float) -> float:
        """Heat of a wire at the temperature of the class."""
        return ohm_per_m(wire, self.limit_c) * current_a**2

    def spread_w_m(self, line: Lying, squares: int) -> float:
        """What a wire at its trip is hotter than the bundle round it, as heat of the bundle."""
        if self.ambient_c >= self.limit_c:
            return 0.0
        inner, outer = diameters_mm(line.wire)
        across = sqrt(2 * squares * STEP_MM2)
        kelvin = log(outer / inner) / (2 * pi * 0.2) + (log(across / outer) - 0.5) / (2 * pi * ACROSS_W_M_K)
        bundle = self.free_w_m(squares) / (self.limit_c - self.ambient_c)
        return max(0.0, kelvin) * bundle * self.gives_w_m(line.wire, line.trip_a)

    def at_trip_w_m(self, line: Lying, current_a: float, squares: int) -> float:
        """What it adds to a bundle when it carries its trip, and no longer its current."""
        more = self.gives_w_m(line.wire, line.trip_a) - self.gives_w_m(line.wire, current_a)
        return more + self.spread_w_m(line, squares)

    def beside_cable_a(self, wire: Wire) -> float:
        """What a wire may be behind where a cable lies beside it."""
        return BESIDE * self.allowance * free_air_a(wire, self.ambient_c, self.altitude_m, self.limit_c)


@cache
def _free_w_m(squares: int, ambient_c: float, limit_c: float, altitude_m: float) -> float:
    return steady_w_m(outer_m(squares), 4 * pi * ACROSS_W_M_K, ambient_c, limit_c, altitude_m)


def outer_m(squares: int) -> float:
    """Diameter of a bundle of so many steps of ``d^2``."""
    return sqrt(2 * squares * STEP_MM2) / 1000


def around(problem: Problem, e: int) -> Around:
    """What is round the bundle of a segment."""
    segment = problem.segments[e]
    asked = max(problem.wire_rules.insulation_c, segment.insulation_c or 0.0)
    classes = [wire.insulation_c for wire in problem.wires.wires if wire.insulation_c >= asked]
    ambient = problem.ambient_c if segment.ambient_c is None else segment.ambient_c
    # where no wire may lie, none does: any class serves
    limit = min(classes, default=asked)
    return Around(ambient, limit, problem.altitude_m, problem.margins.ampacity * segment.factor)


def squares_of(wire: Wire) -> int:
    """Square of its diameter in whole steps."""
    return round(diameters_mm(wire)[1] ** 2 / STEP_MM2)


def stated(problem: Problem, e: int) -> tuple[int, float]:
    """Most wires and the loading that hold for a segment by the table."""
    segment, margins = problem.segments[e], problem.margins
    wires = margins.bundle_wires if segment.wires is None else segment.wires
    loading = margins.bundle_loading if segment.loading is None else segment.loading
    if wires is None or loading is None:
        raise ValueError("the table needs a number of wires and a loading for every segment")
    return wires, loading


def place_of_bundle(problem: Problem, e: int) -> int:
    """1 where wires may pass, whether any does: a wire that is added later must not make a cable too small."""
    return int(problem.segments[e].only is not Line.CABLE)


def factor(problem: Problem, segments: Sequence[int], *, inside: bool) -> float:
    """What is left of the ampacity of a line by the segments it passes, whatever else lies there."""
    shares = [1.0]
    for e in segments:
        share = problem.segments[e].factor
        if problem.margins.bundle is Bundling.TABLE and inside:
            share *= bundle_factor(*stated(problem, e))
        shares.append(share)
    return min(shares)


@dataclass(frozen=True)
class Wrong:
    """A segment in which a rule is broken; by its heat: in which condition, and which of its lines is worst there."""

    segment: int
    condition: int | None = None
    worst: int = 0
    excess: float = 0.0


def wrongs(problem: Problem, lines: Iterable[Lying]) -> Iterator[Wrong]:
    """Everything that is wrong with what lies in the segments of a problem.

    Raises
    ------
    NearTieError
        Where nothing else is wrong with a segment, but something nearly is, or nearly is not.
    """
    lines = list(lines)
    for e in range(len(problem.segments)):
        here = [line for line in lines if e in line.segments]
        found = list(_wrongs(problem, e, here))
        yield from (wrong for wrong in found if wrong.excess >= NEAR)
        if found and all(wrong.excess < NEAR for wrong in found):
            raise NearTieError(problem.segments[e].name)


def _wrongs(problem: Problem, e: int, here: Sequence[Lying]) -> Iterator[Wrong]:
    """All that is wrong, or within a hair of it."""
    inside, cables = [line for line in here if line.inside], [line for line in here if not line.inside]
    side_by_side = sum(cable.count for cable in cables) + place_of_bundle(problem, e)
    if any(side_by_side > (cable.side_by_side or 0) for cable in cables):
        yield Wrong(e, excess=1.0)
    if problem.margins.bundle is Bundling.TABLE:
        yield from _past_stated(problem, e, inside)
        return
    place = around(problem, e)
    if cables and not all(at_most(line.trip_a, place.beside_cable_a(line.wire)) for line in inside):
        yield Wrong(e, excess=1.0)
    if sum(line.count for line in inside) > 1:
        yield from _too_warm(place, e, len(problem.conditions), inside, beside=bool(cables))


def _too_warm(place: Around, e: int, conditions: int, inside: Sequence[Lying], *, beside: bool) -> Iterator[Wrong]:
    squares = sum(line.count * squares_of(line.wire) for line in inside)
    allowed = place.allowed_w_m(squares, beside=beside)
    for m in range(conditions):
        heat = sum(line.count * place.gives_w_m(line.wire, line.currents_a[m]) for line in inside)
        more = [place.at_trip_w_m(line, line.currents_a[m], squares) for line in inside]
        excess = (heat + max(more) - allowed) / max(allowed, 1.0)
        if excess > -NEAR:
            yield Wrong(e, m, more.index(max(more)), excess)


def _past_stated(problem: Problem, e: int, inside: Sequence[Lying]) -> Iterator[Wrong]:
    most, loading = stated(problem, e)
    if sum(line.count for line in inside) > most:
        yield Wrong(e, excess=1.0)
    bears = loading * sum(line.count * line.ampacity_a for line in inside)
    for m in range(len(problem.conditions)) if most > 1 and inside else ():
        excess = sum(line.count * line.currents_a[m] for line in inside) / bears - 1.0
        if excess > -NEAR:
            yield Wrong(e, excess=excess)
