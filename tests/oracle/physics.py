"""Heat, resistance and fuses, from the text of the rules and the ``ht`` library."""

from __future__ import annotations

from functools import cache
from math import floor, log, pi, sqrt

from ht import Nu_horizontal_cylinder_Churchill_Chu

from allocator.problem import Wire

FUSES = (
    1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40,
    50, 60, 70, 80, 100, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500,
)
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


@cache
def free_air_a(wire: Wire, ambient_c: float, altitude_m: float) -> float:
    """Current at which the conductor of a horizontal wire in still air reaches its insulation class."""
    if wire.conductor_mm is None or wire.diameter_mm is None:
        raise ValueError(f"the oracle needs the diameters of wire {wire.size}")
    if ambient_c >= wire.insulation_c:
        return 0.0
    conductor_k, air_k, outer_m = wire.insulation_c + 273.15, ambient_c + 273.15, wire.diameter_mm / 1000
    through = 2 * pi * 0.2 / log(wire.diameter_mm / wire.conductor_mm)
    pressure = 101325 * (1 - 2.25577e-5 * altitude_m) ** 5.25588

    def lost(surface_k: float) -> float:
        film = (surface_k + air_k) / 2
        viscosity = 1.458e-6 * film**1.5 / (film + 110.4)
        conductivity = 2.64638e-3 * film**1.5 / (film + 245.4 * 10 ** (-12 / film))
        density = pressure / (287.05287 * film)
        grashof = 9.80665 / film * (surface_k - air_k) * outer_m**3 / (viscosity / density) ** 2
        nusselt = Nu_horizontal_cylinder_Churchill_Chu(1006 * viscosity / conductivity, max(grashof, 0.0))
        by_air = pi * nusselt * conductivity * (surface_k - air_k)
        by_light = 0.9 * STEFAN_BOLTZMANN * pi * outer_m * (surface_k**4 - air_k**4)
        return float(by_air + by_light)

    cool, hot = air_k, conductor_k
    for _ in range(60):
        surface = (cool + hot) / 2
        if (conductor_k - surface) * through > lost(surface):
            cool = surface
        else:
            hot = surface
    return sqrt((conductor_k - hot) * through / ohm_per_m(wire, wire.insulation_c))


def hot_ohm(wire: Wire, length_m: float, current_a: float, ampacity_a: float, ambient_c: float) -> float:
    """Resistance of a wire at the temperature that its current gives it."""
    share = min(1.0, current_a / ampacity_a)
    return length_m * ohm_per_m(wire, ambient_c + (wire.insulation_c - ambient_c) * share**0.5)


def copper_mg(wire: Wire, length_m: float) -> int:
    """Copper of one wire in whole milligrams."""
    return round(1000 * round(wire.area_mm2 * round(length_m, 6) * COPPER_G_CM3 * wire.lay, 3))


def feed_capacity_ma(
    wire: Wire, length_m: float, ambient_c: float, ampacity_a: float, fuse_use: float, volts: float
) -> int:
    """Largest whole milliampere that a feed carries behind a standard fuse, within its drop; -1: no fuse."""
    fuse = max((f for f in FUSES if at_most(f, ampacity_a)), default=None)
    if fuse is None:
        return -1

    def good(milliamperes: int) -> bool:
        amperes = milliamperes / 1000
        drop = amperes * hot_ohm(wire, length_m, amperes, ampacity_a, ambient_c)
        return at_most(amperes, fuse_use * fuse) and at_most(drop, volts)

    low, high = 0, floor(1000 * fuse_use * fuse) + 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if good(middle) else (low, middle)
    return low
