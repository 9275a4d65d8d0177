"""Heat, resistance and fuses, from the text of the rules and the ``ht`` library."""

from __future__ import annotations

import csv
from functools import cache
from math import floor, log, pi, sqrt

from ht import Nu_horizontal_cylinder_Churchill_Chu

from allocator.problem import Wire
from tests.paths import ROOT

FUSES = (
    1,
    2,
    3,
    4,
    5,
    7.5,
    10,
    15,
    20,
    25,
    30,
    35,
    40,
    50,
    60,
    70,
    80,
    100,
    125,
    150,
    175,
    200,
    225,
    250,
    300,
    350,
    400,
    450,
    500,
)
GATES = ((1.1, float("inf")), (1.35, 0.75), (1.6, 0.25), (2.0, 0.15), (3.5, 0.08))
"""Multiples of a fuse's rating, each with the seconds that the fuse stands it (ISO 8820-3, from memory)."""
FACTORS = ROOT / "allocator" / "wiring" / "data" / "bundle-factors.csv"
EVERY_NUMBER = 200
"""More wires than a drawn problem ever puts into one segment."""
SPLICE_OHM = 0.0005
COPPER_G_CM3 = 8.89
STEFAN_BOLTZMANN = 5.670374419e-8
NEAR = 1e-9


def at_most(value: float, limit: float) -> bool:
    """``value <= limit`` as every comparison of the rules allows it: 1e-9 relative."""
    return value <= limit + NEAR * abs(limit)


def ohm_per_m(wire: Wire, temperature_c: float) -> float:
    """Resistance of a metre at a temperature."""
    if wire.resistance_mohm_m is None:
        raise ValueError(f"the oracle needs the resistance of wire {wire.size}")
    return wire.resistance_mohm_m / 1000 * (1 + 0.00393 * (temperature_c - 20))


def lost_w_m(outer_m: float, surface_k: float, air_k: float, altitude_m: float) -> float:
    """Heat that a metre of a horizontal cylinder in still air loses by convection and radiation."""
    film = (surface_k + air_k) / 2
    viscosity = 1.458e-6 * film**1.5 / (film + 110.4)
    conductivity = 2.64638e-3 * film**1.5 / (film + 245.4 * 10 ** (-12 / film))
    density = 101325 * (1 - 2.25577e-5 * altitude_m) ** 5.25588 / (287.05287 * film)
    grashof = 9.80665 / film * (surface_k - air_k) * outer_m**3 / (viscosity / density) ** 2
    nusselt = Nu_horizontal_cylinder_Churchill_Chu(1006 * viscosity / conductivity, max(grashof, 0.0))
    by_air = pi * nusselt * conductivity * (surface_k - air_k)
    return float(by_air + 0.9 * STEFAN_BOLTZMANN * pi * outer_m * (surface_k**4 - air_k**4))


def steady_w_m(outer_m: float, through_w_m_k: float, air_c: float, inside_c: float, altitude_m: float) -> float:
    """Heat that passes from inside a cylinder, at a temperature, to its surface and from there to the air."""
    if air_c >= inside_c:
        return 0.0
    inside_k, air_k = inside_c + 273.15, air_c + 273.15
    cool, hot = air_k, inside_k
    for _ in range(60):
        surface = (cool + hot) / 2
        if (inside_k - surface) * through_w_m_k > lost_w_m(outer_m, surface, air_k, altitude_m):
            cool = surface
        else:
            hot = surface
    return (inside_k - hot) * through_w_m_k


def diameters_mm(wire: Wire) -> tuple[float, float]:
    """Diameter of the conductor, and over the insulation."""
    if wire.conductor_mm is None or wire.diameter_mm is None:
        raise ValueError(f"the oracle needs the diameters of wire {wire.size}")
    return wire.conductor_mm, wire.diameter_mm


@cache
def free_air_a(wire: Wire, ambient_c: float, altitude_m: float, limit_c: float | None = None) -> float:
    """Current at which the conductor of a horizontal wire in still air reaches its insulation class, or a limit."""
    hot = wire.insulation_c if limit_c is None else limit_c
    inner, outer = diameters_mm(wire)
    heat = steady_w_m(outer / 1000, 2 * pi * 0.2 / log(outer / inner), ambient_c, hot, altitude_m)
    return sqrt(heat / ohm_per_m(wire, hot))


def hot_ohm(wire: Wire, length_m: float, share: float, ambient_c: float, body_c: float | None = None) -> float:
    """Resistance of a wire as warm as its current, a share of what it may carry, makes it; in a bundle, as that does.

    In a body that is ``body_c`` warm it rises above that by ``share^2`` of what it rises at its ampacity, up to its
    class.
    """
    room, share = wire.insulation_c - ambient_c, min(1.0, share)
    hot = ambient_c + room * share**0.5
    if body_c is not None:
        hot = max(hot, body_c, min(wire.insulation_c, body_c + room * share**2))
    return length_m * ohm_per_m(wire, hot)


@cache
def bundle_factors(loading: float) -> tuple[float, ...]:
    """Factors for 1, 2, 3 ... wires at a loading: the column of the table that serves it, and its tail."""
    with FACTORS.open(encoding="utf-8", newline="") as file:
        table = list(csv.DictReader(file))
    column = next(c for c in (20, 40, 60, 80, 100) if at_most(100 * loading, c))
    rows = [float(row[f"{column} %"]) for row in table]
    last = len(rows)
    return (*rows, *(rows[-1] * (last / n) ** 0.5 for n in range(last + 1, EVERY_NUMBER)))


def bundle_factor(wires: int, loading: float) -> float:
    """Share of its current that the published table leaves to each of so many wires."""
    return bundle_factors(loading)[wires - 1]


def fuse_stands_a(fuse: float, seconds: float) -> float:
    """What a fuse stands for a time."""
    return fuse * max(multiple for multiple, least in GATES if at_most(seconds, least))


def fuse_heat_a2s(fuse: float) -> float:
    """What a fuse lets through in a short circuit: six times its rating for 0.1 s (from memory)."""
    return (6 * fuse) ** 2 * 0.1


def withstands(wire: Wire, heat_a2s: float) -> bool:
    """``(k S)^2 >= I^2 t``, k of copper from the insulation class to 160 degC, above class 105 to 250 degC."""
    final = 160 if wire.insulation_c <= 105 else 250
    k = 226 * sqrt(log((234.5 + final) / (234.5 + wire.insulation_c)))
    return at_most(heat_a2s, (k * wire.area_mm2) ** 2)


def copper_mg(wire: Wire, length_m: float) -> int:
    """Copper of one wire in whole milligrams."""
    return round(1000 * round(wire.area_mm2 * round(length_m, 6) * COPPER_G_CM3 * wire.lay, 3))


def fuses_of(ampacity_a: float) -> list[float]:
    """Standard fuses that a wire allows, ascending."""
    return [fuse for fuse in FUSES if at_most(fuse, ampacity_a)]


def feed_capacity_ma(
    wire: Wire,
    length_m: float,
    ambient_c: float,
    ampacity_a: float,
    fuse: float,
    fuse_use: float,
    volts: float,
    body_c: float | None,
) -> int:
    """Largest whole milliampere that a feed carries behind a fuse, within its drop, between wires so warm."""

    def good(milliamperes: int) -> bool:
        amperes = milliamperes / 1000
        drop = amperes * hot_ohm(wire, length_m, amperes / ampacity_a, ambient_c, body_c)
        return at_most(amperes, fuse_use * fuse) and at_most(drop, volts)

    low, high = 0, floor(1000 * fuse_use * fuse) + 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if good(middle) else (low, middle)
    return low
