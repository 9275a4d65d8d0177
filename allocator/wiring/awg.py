"""American Wire Gage: the rule that gives diameter and area of a size."""

from __future__ import annotations

from math import pi

CIRCULAR_MIL_MM2 = pi / 4 * 0.0254**2


def gauge_number(size: str) -> int:
    """Number of a gauge size: ``"16 AWG"`` or ``"16"`` is 16, ``"1/0"`` is 0, ``"4/0"`` is -3.

    Raises
    ------
    ValueError
        When the text is not such a size.
    """
    name = size.upper().removesuffix("AWG").strip()
    whole, slash, zero = name.partition("/")
    if not whole.isdecimal() or (slash and zero != "0"):
        raise ValueError(f"'{size}' is not a gauge size. Write it like '16 AWG' or '2/0 AWG'.")
    return 1 - int(whole) if slash else int(whole)


def gauge_diameter_mm(size: str) -> float:
    """Diameter of the solid round wire of a gauge size, in mm: 0.005 in x 92^((36 - n) / 39) (ASTM B258)."""
    return 0.127 * float(92.0 ** ((36 - gauge_number(size)) / 39))


def gauge_area_mm2(size: str) -> float:
    """Conductor area of a gauge size, in mm2 (ASTM B258)."""
    return pi / 4 * gauge_diameter_mm(size) ** 2
