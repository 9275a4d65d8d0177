"""Conductors: resistance at a temperature, mass, and what follows from the area where a table is silent."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import pi, sqrt

from allocator.problem import Wire, WireTable

ALPHA_20 = 0.00393
"""Change of the resistance of copper per kelvin, as a share of that at 20 degC."""

DENSITY_G_CM3 = 8.89
"""Density of copper at 20 degC (IEC 60028)."""

SPLICE_OHM = 0.0005
"""Resistance of one crimped splice (common practice, no source)."""

ABSENT_RESISTANCE_MOHM_MM2_M = 20.0
"""Area x resistance where a table gives none: above every plain class 5 conductor of IEC 60228."""

ABSENT_FILL = 0.66
"""Share of the circle around the strands that is copper, where a table gives no conductor diameter.

Fitted to the dimensions of ISO 6722 (from memory).
"""

INSULATION_G_CM3 = 1.4
"""Density of insulation where a table gives no mass: soft PVC (common practice, no source)."""


def resistance_ohm_m(wire: Wire, temperature_c: float) -> float:
    """Resistance of a metre of wire at a conductor temperature, in ohm/m: ``R20 (1 + 0.00393 (T - 20))``."""
    return resistance_mohm_m(wire) * 1e-3 * (1 + ALPHA_20 * (temperature_c - 20))


def copper_g(wire: Wire, length_m: float) -> float:
    """Copper in a length of wire, in g rounded to 0.001: area x length x 8.89 x lay.

    The length is taken to the micrometre: sums of segments in another order then never round to another gram.
    """
    return round(wire.area_mm2 * round(length_m, 6) * DENSITY_G_CM3 * wire.lay, 3)


def wire_g(wire: Wire, length_m: float) -> float:
    """Finished wire with its insulation, in g rounded to 0.001; the length is taken to the micrometre."""
    return round(mass_g_m(wire) * round(length_m, 6), 3)


def resistance_mohm_m(wire: Wire) -> float:
    """Resistance at 20 degC of a metre of wire, in mohm/m; ``20 / area`` where the table gives none."""
    own = wire.resistance_mohm_m
    return ABSENT_RESISTANCE_MOHM_MM2_M / wire.area_mm2 if own is None else own


def conductor_mm(wire: Wire) -> float:
    """Diameter of the conductor, in mm; where the table gives none, of a circle that copper fills to 0.66.

    It then stays inside an outer diameter that the table does give, and holds the area.
    """
    if wire.conductor_mm is not None:
        return wire.conductor_mm
    solid = sqrt(4 * wire.area_mm2 / pi)
    loose = solid / sqrt(ABSENT_FILL)
    if wire.diameter_mm is None:
        return loose
    # a wire may lack 2 % of area for the sake of rounded diameters
    return min(loose, max(0.95 * wire.diameter_mm, (solid / sqrt(1.02) + wire.diameter_mm) / 2))


def diameter_mm(wire: Wire) -> float:
    """Outer diameter, in mm; where the table gives none, a wall of ``0.2 + 0.1 sqrt(area)`` mm.

    The wall is fitted to the thin-wall wires of ISO 6722 (from memory), on the thin side: a thinner wire
    carries a little less.
    """
    if wire.diameter_mm is not None:
        return wire.diameter_mm
    return conductor_mm(wire) + 2 * (0.2 + 0.1 * sqrt(wire.area_mm2))


def mass_g_m(wire: Wire) -> float:
    """Mass of a metre of finished wire, in g/m; copper and insulation where the table gives none."""
    if wire.mass_g_m is not None:
        return wire.mass_g_m
    insulation_mm2 = pi / 4 * (diameter_mm(wire) ** 2 - conductor_mm(wire) ** 2)
    return wire.area_mm2 * DENSITY_G_CM3 * wire.lay + insulation_mm2 * INSULATION_G_CM3


@lru_cache(maxsize=4096)
def completed(wire: Wire) -> Wire:
    """The wire with every figure that its table leaves out computed from the area."""
    return replace(
        wire,
        conductor_mm=conductor_mm(wire),
        diameter_mm=diameter_mm(wire),
        resistance_mohm_m=resistance_mohm_m(wire),
        mass_g_m=mass_g_m(wire),
    )


@lru_cache(maxsize=256)
def of_class(table: WireTable, insulation_c: float) -> tuple[Wire, ...]:
    """Rows of the lowest insulation class of a table that is at least the one asked for; () if none is.

    A better class than needed is never taken: it would only let the wire run hotter at its terminals.
    """
    enough = [wire.insulation_c for wire in table.wires if wire.insulation_c >= insulation_c - 1e-9]
    return tuple(wire for wire in table.wires if enough and wire.insulation_c == min(enough))
