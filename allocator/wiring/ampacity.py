"""What a wire carries in free air, by its heat balance, and how hot it runs below that."""

from __future__ import annotations

from functools import lru_cache
from math import log, pi, sqrt

from allocator.problem import Wire
from allocator.wiring.air import KELVIN, convected_w_m, pressure_pa
from allocator.wiring.conductors import conductor_mm, diameter_mm, resistance_ohm_m

STEFAN_BOLTZMANN_W_M2_K4 = 5.670374419e-8
EMISSIVITY = 0.9
INSULATION_W_M_K = 0.2

_HALVINGS = 48
"""Halvings of the surface temperature: 200 K come down to below 1e-12 K."""


@lru_cache(maxsize=65536)
def ampacity_a(wire: Wire, ambient_c: float, altitude_m: float = 0.0) -> float:
    """Continuous current of a horizontal wire in still air whose conductor is at its insulation class.

    ``I = sqrt(q / R)``, with the heat ``q`` that passes the insulation and leaves the surface by natural
    convection and radiation (emissivity 0.9; insulation 0.2 W/mK). No allowance and no bundle factor is in
    it. Measured against published tables by ``benchmarks/ampacity_against_tables.py``.

    Returns
    -------
    float
        In A; 0.0 where the ambient is at or above the insulation class.
    """
    limit = wire.insulation_c
    if ambient_c >= limit:
        return 0.0
    outer = diameter_mm(wire)
    through = 2 * pi * INSULATION_W_M_K / log(outer / conductor_mm(wire))
    diameter_m, pressure = outer * 1e-3, pressure_pa(altitude_m)

    cool, hot = ambient_c, limit
    for _ in range(_HALVINGS):
        surface = (cool + hot) / 2
        if (limit - surface) * through > leaving_w_m(diameter_m, surface, ambient_c, pressure):
            cool = surface
        else:
            hot = surface
    # the cooler end: what leaves there is no more than what comes through
    return sqrt(leaving_w_m(diameter_m, cool, ambient_c, pressure) / resistance_ohm_m(wire, limit))


def leaving_w_m(diameter_m: float, surface_c: float, ambient_c: float, pressure: float) -> float:
    """Heat that leaves one metre of wire by convection and radiation, in W/m.

    Parameters
    ----------
    diameter_m
        Diameter of the cylinder in m.
    surface_c
        Temperature of its surface in degC.
    ambient_c
        Temperature of the air round it, in degC.
    pressure
        Pressure of the air in Pa.
    """
    surface_k, ambient_k = surface_c + KELVIN, ambient_c + KELVIN
    radiated = EMISSIVITY * STEFAN_BOLTZMANN_W_M2_K4 * pi * diameter_m * (surface_k**4 - ambient_k**4)
    return convected_w_m(diameter_m, surface_c, ambient_c, pressure) + radiated


def running_temperature_c(
    current_a: float, ampacity: float, ambient_c: float, limit_c: float, bundle_c: float | None = None
) -> float:
    """Conductor temperature at a current below the ampacity, in degC.

    ``T = Ta + (Tmax - Ta) sqrt(min(1, I / ampacity))`` (AC 43.13-1B chapter 11, which calls it conservative;
    formula from memory). In a bundle it is as warm as the middle of that and its own rise
    ``(Tmax - Ta) (I / ampacity)^2``, up to the limit, where that is more. Its own rise is that of a wire alone, which
    has the film of air at its surface: between other wires it is less.

    Parameters
    ----------
    current_a
        Its current ``I``, in A.
    ampacity
        What it may carry, in A. 0 gives the limit.
    ambient_c
        Ambient temperature ``Ta``, in degC.
    limit_c
        Temperature ``Tmax`` that its insulation withstands, in degC.
    bundle_c
        Temperature of the middle of its bundle, in degC; None where it lies in none that is reckoned.
    """
    share = min(1.0, current_a / ampacity) if ampacity > 0 else 1.0
    own_c = ambient_c + (limit_c - ambient_c) * sqrt(share)
    if bundle_c is None:
        return own_c
    return max(own_c, bundle_c, min(limit_c, bundle_c + (limit_c - ambient_c) * share**2))
