"""Still air around a wire: its properties, and how much heat it takes away.

Sources: US Standard Atmosphere 1976 for viscosity, conductivity and pressure; Churchill and Chu, Int. J. Heat
Mass Transfer 18 (1975) 1049-1053 for natural convection from a horizontal cylinder.
"""

from __future__ import annotations

from math import pi

GRAVITY_M_S2 = 9.80665
HEAT_CAPACITY_J_KG_K = 1006.0
GAS_CONSTANT_J_KG_K = 287.05
KELVIN = 273.15


def pressure_pa(altitude_m: float) -> float:
    """Air pressure at an altitude, by the power law of the standard atmosphere's lowest layer.

    Raises
    ------
    ValueError
        Above 44 km, where the law ends.
    """
    if altitude_m > 44_000:
        raise ValueError(f"altitude {altitude_m:g} m is above 44000 m. Give the altitude of the machine.")
    return 101325.0 * float((1 - 2.25577e-5 * altitude_m) ** 5.25588)


def viscosity_pa_s(kelvin: float) -> float:
    """Dynamic viscosity of air (Sutherland)."""
    return 1.458e-6 * float(kelvin**1.5) / (kelvin + 110.4)


def conductivity_w_m_k(kelvin: float) -> float:
    """Heat conductivity of air."""
    return 2.64638e-3 * float(kelvin**1.5) / (kelvin + 245.4 * float(10 ** (-12 / kelvin)))


def nusselt(rayleigh: float, prandtl: float) -> float:
    """Mean Nusselt number of a horizontal cylinder in still fluid (Churchill and Chu 1975)."""
    share = rayleigh / (1 + (0.559 / prandtl) ** (9 / 16)) ** (16 / 9)
    return float((0.60 + 0.387 * share ** (1 / 6)) ** 2)


def convected_w_m(diameter_m: float, surface_c: float, ambient_c: float, pressure: float) -> float:
    """Heat that air takes from one metre of horizontal cylinder, in W/m; ``surface_c >= ambient_c``.

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
    film = (surface_c + ambient_c) / 2 + KELVIN
    viscosity, conductivity = viscosity_pa_s(film), conductivity_w_m_k(film)
    density = pressure / (GAS_CONSTANT_J_KG_K * film)
    prandtl = HEAT_CAPACITY_J_KG_K * viscosity / conductivity
    rise = surface_c - ambient_c
    grashof = GRAVITY_M_S2 * rise * diameter_m**3 / film * (density / viscosity) ** 2
    return nusselt(grashof * prandtl, prandtl) * conductivity * pi * rise
