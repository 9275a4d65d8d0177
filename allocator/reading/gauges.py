"""American wire gauge sizes as areas."""

from __future__ import annotations

import re
from math import pi

_GAUGE = re.compile(r"(?:AWG\s*)?([0-9]{1,2}|[1-4]/0|00|000|0000)(?:\s*AWG)?", re.IGNORECASE)


def gauge_area_mm2(text: str) -> float | None:
    """Area in mm2 of a size such as ``16 AWG``, ``AWG 16`` or ``2/0 AWG``; None where the text is no gauge.

    The rule is that of ASTM B258: a diameter of 0.005 in x 92^((36 - n) / 39), where 1/0 is n = 0 and
    4/0 is n = -3. It is the area of the solid wire of that gauge.
    """
    if "awg" not in text.lower():
        return None
    found = _GAUGE.fullmatch(text.strip())
    if found is None:
        return None
    diameter_mm = 0.127 * 92.0 ** ((36 - _number(found[1])) / 39)
    return float(pi / 4.0 * diameter_mm**2)


def _number(gauge: str) -> int:
    if gauge.endswith("/0"):
        return 1 - int(gauge[0])
    return 1 - len(gauge) if set(gauge) == {"0"} else int(gauge)
