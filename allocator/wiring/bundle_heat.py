"""How warm a bundle of wires gets: the heat that it may give, and what its hottest wire adds.

Wires are sized alone; what they give off together in one segment is held here. The bundle is a round body: heat spreads
evenly in it and leaves its surface as it leaves a single wire's. Calibrated against the curves of MIL-W-5088L, figure 4
(`benchmarks/bundle_heat_against_table.py`); the tests hold it against finite differences over the cross-section. It is
for an open harness in still air, not for foam and not for closed conduit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log, pi, sqrt

from allocator.problem import Wire
from allocator.wiring.air import pressure_pa
from allocator.wiring.ampacity import INSULATION_W_M_K, leaving_w_m
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

_HALVINGS = 48


@dataclass(frozen=True, slots=True)
class BundledWire:
    """One wire of a bundle: its row of the wire table, the current it carries, in A, and its trip or fuse, in A."""

    wire: Wire
    current_a: float
    trip_a: float


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


def bundle_diameter_mm(wires: Sequence[Wire]) -> float:
    """Diameter of a round bundle, in mm: ``sqrt(2 sum d^2)`` for two wires and more, the wire's own for one."""
    squares = sum(diameter_mm(wire) ** 2 for wire in wires)
    return sqrt(squares) * (PACKING if len(wires) > 1 else 1.0)


@lru_cache(maxsize=65536)
def free_heat_w_m(bundle_mm: float, ambient_c: float, limit_c: float, altitude_m: float = 0.0) -> float:
    """Heat per metre at which the middle of a bundle reaches a temperature, in W/m; 0 at or above it.

    ``Ta + rise of the surface + Q / (4 pi k) = T``: surface as for a wire (Churchill and Chu 1975; radiation), heat
    spread evenly in a round body of conductivity ``k``.
    """
    if ambient_c >= limit_c:
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


def bundle_heat(
    wires: Sequence[BundledWire],
    *,
    ambient_c: float,
    limit_c: float,
    altitude_m: float = 0.0,
    allowance: float = 1.0,
    beside: bool = False,
    factor: float = 1.0,
) -> BundleHeat:
    """Heat of a bundle of two wires or more in one condition, held against what it may give.

    ``sum r I^2 + max(r (t^2 - I^2) + c r t^2 Q / (T - Ta)) <= (allowance factor)^2 g Q``, with ``g = 0.825^2`` where a
    cable lies beside and ``Q`` the free heat: all wires at what they carry, any one of them at its trip.

    Parameters
    ----------
    ambient_c, altitude_m
        Of the segment itself, in degC and m.
    limit_c
        The lowest insulation class that may lie there, in degC: a bundle is held to its lowest class (AS50881 and AC
        43.13-1B practice, from memory).
    allowance
        On currents: the margin that the heat balance of a wire has too.
    beside
        Whether a cable lies tied beside the bundle.
    factor
        On currents: the segment's own, for conduit or foam.
    """
    rows = [one.wire for one in wires]
    across_mm = bundle_diameter_mm(rows)
    free = free_heat_w_m(across_mm, ambient_c, limit_c, altitude_m)
    per_kelvin = free / (limit_c - ambient_c) if limit_c > ambient_c else 0.0
    ohms = [resistance_ohm_m(row, limit_c) for row in rows]
    heat = sum(ohm * one.current_a**2 for ohm, one in zip(ohms, wires, strict=True))
    adds = [
        ohm * (one.trip_a**2 - one.current_a**2) + own_rise_k_m_w(row, across_mm) * per_kelvin * ohm * one.trip_a**2
        for ohm, row, one in zip(ohms, rows, wires, strict=True)
    ]
    hottest = max(range(len(adds)), key=lambda n: adds[n])
    allowed = (allowance * factor * (BESIDE if beside else 1.0)) ** 2 * free
    return BundleHeat(heat, adds[hottest], allowed, hottest)
