"""How warm a bundle of wires gets: the heat that it may give, and what its hottest wire adds.

Wires are sized alone; what they give off together in one segment is held here. The bundle is a round body: heat spreads
evenly in it and leaves its surface as it leaves a single wire's. Calibrated against the curves of MIL-W-5088L, figure 4
(`benchmarks/bundle_heat_against_table.py`); the tests hold it against finite differences over the cross-section. It is
for an open harness in still air, not for foam and not for closed conduit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import log, pi, sqrt

from allocator.problem import Wire
from allocator.wiring.air import pressure_pa
from allocator.wiring.ampacity import INSULATION_W_M_K, ampacity_a, leaving_w_m
from allocator.wiring.conductors import conductor_mm, diameter_mm, resistance_ohm_m

BUNDLE_W_M_K = 0.08
"""Effective heat conductivity across a bundle: copper, insulation and the still air between, as one body.

One constant for all sizes and numbers of wires: with the allowance of 0.80 in current the rule lies at or below the
five curves of MIL-W-5088L, figure 4, from 2 to 19 wires.
"""

BESIDE = 0.825
"""Factor on currents where a cable lies tied beside a bundle: two at 100 % (MIL-W-5088L, figure 4)."""

PACKING = sqrt(2.0)
"""Diameter of a round bundle over the root of the summed squares of its wires'.

Round wires of any sizes fit into a circle of twice their area (Fekete, Keldenich and Scheffer 2019, Packing Disks into
Disks with Optimal Worst-Case Density, LIPIcs 129; reference from memory): two alike fill it, more leave slack.
"""

SQUARES_STEP_MM2 = 0.01
"""Squares of diameters count in whole steps of this: then two bundles are alike or differ by a step at the least."""

TOLERANCE = 1e-6
"""Share of the heat allowed by which rounding may pass it."""

_HALVINGS = 48


@dataclass(frozen=True, slots=True)
class BundledWire:
    """One wire of a bundle: its row of the wire table, the current it carries, in A, and its trip or fuse, in A."""

    wire: Wire
    current_a: float
    trip_a: float


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Where a bundle lies: ambient and lowest insulation class of its segment in degC, altitude in m.

    A bundle is held to its lowest class (AS50881 and AC 43.13-1B practice, from memory). ``allowance`` is on currents:
    the margin that the heat balance of a wire has too, times the segment's own factor for conduit or foam.
    """

    ambient_c: float
    limit_c: float
    altitude_m: float = 0.0
    allowance: float = 1.0

    def free_w_m(self, squares_mm2: float) -> float:
        """Heat per metre at which the middle of a bundle reaches the class, in W/m, before any allowance."""
        return free_heat_w_m(diameter_of_mm(squares_mm2), self.ambient_c, self.limit_c, self.altitude_m)

    def slope_w_m(self, squares_mm2: float) -> float:
        """By how much `free_w_m` rises, for each mm2 of ``sum d^2``.

        ``free_w_m`` bends down, so the line through it with this slope lies on or above it at every step.
        """
        step = SQUARES_STEP_MM2
        return (self.free_w_m(squares_mm2 + step) - self.free_w_m(squares_mm2 - step)) / (2.0 * step)

    def allowed_w_m(self, squares_mm2: float, *, beside: bool) -> float:
        """Heat that a bundle may give, in W/m: ``allowance^2 g Q``; ``g = 0.825^2`` where a cable lies beside."""
        return self._share(beside=beside) * self.free_w_m(squares_mm2)

    def rise_k(self, heat_w_m: float, squares_mm2: float, *, beside: bool) -> float:
        """How far a heat brings the middle of a bundle above the ambient, every allowance counted, in K.

        At the heat allowed it is ``T - Ta``.
        """
        return body_rise_k(heat_w_m / self._share(beside=beside), squares_mm2, self.ambient_c, self.altitude_m)

    def _share(self, *, beside: bool) -> float:
        """Share of the free heat that a bundle may give."""
        return (self.allowance * (BESIDE if beside else 1.0)) ** 2

    def given_w_m(self, wire: Wire, current_a: float) -> float:
        """Heat of one wire, in W/m: ``r I^2`` at the class temperature."""
        return resistance_ohm_m(wire, self.limit_c) * current_a**2

    def added_w_m(self, one: BundledWire, squares_mm2: float) -> float:
        """What a wire adds at its trip, in W/m: ``r (t^2 - I^2) + c r t^2 Q / (T - Ta)``; rises with ``S``."""
        ohm = resistance_ohm_m(one.wire, self.limit_c)
        return ohm * (one.trip_a**2 - one.current_a**2) + self.spread_w_m(one, squares_mm2)

    def spread_w_m(self, one: BundledWire, squares_mm2: float) -> float:
        """By how much a wire at its trip is hotter than the body round it, as heat of that body, in W/m."""
        if self.ambient_c >= self.limit_c:
            return 0.0
        per_kelvin = self.free_w_m(squares_mm2) / (self.limit_c - self.ambient_c)
        rise = own_rise_k_m_w(one.wire, diameter_of_mm(squares_mm2))
        return rise * per_kelvin * self.given_w_m(one.wire, one.trip_a)


@dataclass(frozen=True, slots=True)
class BundleHeat:
    """Heat of a bundle in one condition, in W/m.

    ``heat_w_m`` is what all wires give at what they carry; ``worst_w_m`` what the wire ``hottest`` (its number) adds
    where it carries its trip; ``allowed_w_m`` is the heat at which the insulation reaches its class.
    """

    heat_w_m: float
    worst_w_m: float
    allowed_w_m: float
    hottest: int

    @property
    def excess_w_m(self) -> float:
        """Heat above what is allowed; negative where there is room."""
        return self.heat_w_m + self.worst_w_m - self.allowed_w_m

    @property
    def passed(self) -> bool:
        """Whether it gives more than it may."""
        return self.excess_w_m > TOLERANCE * max(self.allowed_w_m, 1.0)


def square_mm2(wire: Wire) -> float:
    """Squared outer diameter of a wire, in mm2, rounded to whole steps."""
    return round(round(diameter_mm(wire) ** 2 / SQUARES_STEP_MM2) * SQUARES_STEP_MM2, 6)


def diameter_of_mm(squares_mm2: float) -> float:
    """Diameter of a round bundle of two wires and more, in mm: ``sqrt(2 sum d^2)``."""
    return PACKING * sqrt(squares_mm2)


def bundle_diameter_mm(wires: Sequence[Wire]) -> float:
    """Diameter of a round bundle, in mm: ``sqrt(2 sum d^2)`` for two wires and more, the wire's own for one."""
    return diameter_of_mm(sum(map(square_mm2, wires))) if len(wires) > 1 else sum(map(diameter_mm, wires))


@lru_cache(maxsize=65536)
def free_heat_w_m(bundle_mm: float, ambient_c: float, limit_c: float, altitude_m: float = 0.0) -> float:
    """Heat per metre at which the middle of a bundle reaches a temperature, in W/m; 0 at or above it.

    ``Ta + rise of the surface + Q / (4 pi k) = T``: surface as for a wire (Churchill and Chu 1975; radiation), heat
    spread evenly in a round body of conductivity ``k``.

    Parameters
    ----------
    bundle_mm
        Diameter of the bundle in mm.
    ambient_c
        Temperature of the air round it, in degC.
    limit_c
        Temperature that its middle may reach, in degC.
    altitude_m
        Altitude in m.
    """
    if ambient_c >= limit_c or bundle_mm <= 0.0:
        return 0.0
    pressure, across = pressure_pa(altitude_m), 4.0 * pi * BUNDLE_W_M_K
    cool, hot = ambient_c, limit_c
    for _ in range(_HALVINGS):
        surface = (cool + hot) / 2
        if (limit_c - surface) * across > leaving_w_m(bundle_mm * 1e-3, surface, ambient_c, pressure):
            cool = surface
        else:
            hot = surface
    return leaving_w_m(bundle_mm * 1e-3, cool, ambient_c, pressure)


def own_rise_k_m_w(wire: Wire, bundle_mm: float) -> float:
    """How much hotter a wire is than the body round it, in kelvin per W/m of its own heat; never below 0.

    ``ln(d / dc) / (2 pi 0.2) + ln(D / d) / (2 pi k) - 1 / (4 pi k)``: its insulation, and the way from a line of heat
    in the middle to the surface over that of heat spread evenly, which `free_heat_w_m` has already.
    """
    outer = diameter_mm(wire)
    through = log(outer / conductor_mm(wire)) / (2.0 * pi * INSULATION_W_M_K)
    spread = log(bundle_mm / outer) / (2.0 * pi * BUNDLE_W_M_K) - 1.0 / (4.0 * pi * BUNDLE_W_M_K)
    return max(0.0, through + spread)


def bundle_heat(wires: Sequence[BundledWire], around: Surroundings, *, beside: bool = False) -> BundleHeat:
    """Heat of a bundle of two wires or more in one condition, against what it may give.

    ``sum r I^2 + max(r (t^2 - I^2) + c r t^2 Q / (T - Ta)) <= allowance^2 g Q``, with ``g = 0.825^2`` where a cable
    lies ``beside`` and ``Q`` the free heat: all wires at what they carry, any one of them at its trip.
    """
    heat = sum(around.given_w_m(one.wire, one.current_a) for one in wires)
    squares = sum(square_mm2(one.wire) for one in wires)
    adds = [around.added_w_m(one, squares) for one in wires]
    hottest = max(range(len(adds)), key=lambda n: adds[n])
    return BundleHeat(heat, adds[hottest], around.allowed_w_m(squares, beside=beside), hottest)


def beside_cable_a(wire: Wire, around: Surroundings) -> float:
    """What a wire carries at most where a cable lies beside it, other wires or none, in A.

    Of its own balance at the class of the segment 0.825, after the allowance: however cool the other wires are, it may
    not be warmer than alone.
    """
    alone = ampacity_a(replace(wire, insulation_c=around.limit_c), around.ambient_c, around.altitude_m)
    return BESIDE * around.allowance * alone


@lru_cache(maxsize=65536)
def body_rise_k(heat_w_m: float, squares_mm2: float, ambient_c: float, altitude_m: float = 0.0) -> float:
    """How much warmer than its surroundings the middle of a bundle is at a heat, in K.

    Parameters
    ----------
    heat_w_m
        Heat that the bundle gives, in W/m.
    squares_mm2
        Sum of the squares of the diameters of its wires, in mm2.
    ambient_c
        Temperature of the air round it, in degC.
    altitude_m
        Altitude in m.
    """
    bundle_m, pressure = diameter_of_mm(squares_mm2) * 1e-3, pressure_pa(altitude_m)
    cool, hot = ambient_c, ambient_c + 1.0
    while leaving_w_m(bundle_m, hot, ambient_c, pressure) < heat_w_m:
        hot = ambient_c + 2.0 * (hot - ambient_c)
    for _ in range(_HALVINGS):
        surface = (cool + hot) / 2
        if leaving_w_m(bundle_m, surface, ambient_c, pressure) < heat_w_m:
            cool = surface
        else:
            hot = surface
    return hot - ambient_c + heat_w_m / (4.0 * pi * BUNDLE_W_M_K)
