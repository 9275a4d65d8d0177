"""What wires lose between others that warm them: how warm the bundles of a layout get, and what that costs in volts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from math import pi

from allocator.problem import Bundling, Problem, Wire
from tests.oracle.bundles import ACROSS_W_M_K, BESIDE, Around, Lying, NearTieError, around, outer_m, squares_of
from tests.oracle.physics import hot_ohm, lost_w_m

NEAR_V = 1e-5
"""Volts within which a drop is too near to its limit to say on which side of it."""


@dataclass(frozen=True)
class Losing:
    """A wire in bundles that passes the current of a load, ``times`` so many: there and back again of a bridge."""

    wire: Wire
    segments: tuple[int, ...]
    length_m: float
    ambient_c: float
    current_a: float
    ampacity_a: float
    times: int

    def more_v(self, warm: Mapping[int, float]) -> float:
        """What it loses more between bundles so warm, in degC by segment, than as warm as its own current makes it."""
        passed = [warm[e] for e in self.segments if e in warm]
        if not passed:
            return 0.0
        share = self.current_a / self.ampacity_a
        cold, hot = (hot_ohm(self.wire, self.length_m, share, self.ambient_c, body_c) for body_c in (None, max(passed)))
        return self.times * self.current_a * (hot - cold)


@dataclass(frozen=True)
class Body:
    """A bundle in the condition in which it is warmest."""

    place: Around
    condition: int
    heat_w_m: float
    squares: int
    beside: bool

    @property
    def middle_c(self) -> float:
        """How warm its middle is."""
        return self.of_size_c(self.squares)

    def of_size_c(self, squares: int) -> float:
        """How warm it would be with its heat and another size."""
        return middle_c(self.place, self.heat_w_m, squares, beside=self.beside)

    def heat_for_w_m(self, squares: int, warm_c: float) -> float:
        """Heat at which a bundle of some size is so warm."""
        place = Around(self.place.ambient_c, warm_c, self.place.altitude_m, self.place.allowance)
        return place.allowed_w_m(squares, beside=self.beside)


def middle_c(place: Around, heat_w_m: float, squares: int, *, beside: bool) -> float:
    """How warm a heat makes the middle of a bundle, with all that is left off what it may give."""
    heat = heat_w_m / (place.allowance * (BESIDE if beside else 1.0)) ** 2
    return _middle_c(heat, squares, place.ambient_c, place.altitude_m)


@cache
def _middle_c(heat_w_m: float, squares: int, ambient_c: float, altitude_m: float) -> float:
    air_k = ambient_c + 273.15
    cool, hot = air_k, air_k + 5000.0
    for _ in range(60):
        surface = (cool + hot) / 2
        if lost_w_m(outer_m(squares), surface, air_k, altitude_m) < heat_w_m:
            cool = surface
        else:
            hot = surface
    return hot - 273.15 + heat_w_m / (4 * pi * ACROSS_W_M_K)


def bodies(problem: Problem, lines: Iterable[Lying]) -> dict[int, Body]:
    """Every bundle of two wires or more, by segment; none where heat is not counted."""
    lines, found = list(lines), {}
    for e in range(len(problem.segments)) if problem.margins.bundle is Bundling.HEAT else ():
        here = [line for line in lines if e in line.segments]
        inside = [line for line in here if line.inside]
        if sum(line.count for line in inside) > 1:
            place = around(problem, e)
            heats = [
                sum(line.count * place.gives_w_m(line.wire, line.currents_a[m]) for line in inside)
                for m in range(len(problem.conditions))
            ]
            squares = sum(line.count * squares_of(line.wire) for line in inside)
            found[e] = Body(place, heats.index(max(heats)), max(heats), squares, len(inside) < len(here))
    return found


def over_v(losing: Iterable[Losing], left_v: float, warm: Mapping[int, float]) -> float:
    """By how much wires between warm bundles lose more than the volts that they have left when none warms them."""
    more = sum(one.more_v(warm) for one in losing)
    # what no bundle warms was held against its limit before
    return more - left_v if more > 0.0 else 0.0


def lose_too_much(found: Iterable[float]) -> bool:
    """Whether any load loses more than it may, told by how much each does.

    Raises
    ------
    NearTieError
        Where none surely does, but one nearly does, or nearly does not.
    """
    over = [volts for volts in found if volts > -NEAR_V and volts != 0.0]
    if over and max(over) < NEAR_V:
        raise NearTieError("drop")
    return bool(over)
