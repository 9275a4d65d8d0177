"""The heat of a bundle against the published bundle factors, as a Markdown table.

Alike wires, a share of them loaded and the others idle, none behind a higher trip than it carries: the factor of the
rule over that of MIL-W-5088L, figure 4, least to greatest over the sizes, before the allowance. Where it comes to more
than 1 the wire's own balance holds it. Beyond 19 wires the published curves are extrapolated.

Run: ``python -m benchmarks.bundle_heat_against_table``
"""

from __future__ import annotations

from math import sqrt

from allocator.problem import Margins, Wire
from allocator.wiring import ampacity_a, bundle_factor, resistance_ohm_m
from allocator.wiring.bundle_heat import bundle_diameter_mm, free_heat_w_m, own_rise_k_m_w
from tests.published.tables import aerospace_wire

SIZES = ("22 AWG", "20 AWG", "16 AWG", "12 AWG", "8 AWG")
COUNTS = (2, 3, 5, 7, 10, 13, 19, 30)
LOADINGS = (0.2, 0.4, 0.6, 0.8, 1.0)
AMBIENT_C, CONDUCTOR_C = 45.0, 105.0


def factor(wire: Wire, count: int, loading: float, ambient_c: float = AMBIENT_C) -> float:
    """Share of its free-air ampacity that the rule leaves to each of so many alike wires, before the allowance."""
    across_mm, limit_c = bundle_diameter_mm([wire] * count), wire.insulation_c
    free = free_heat_w_m(across_mm, ambient_c, limit_c)
    own = own_rise_k_m_w(wire, across_mm) * free / (limit_c - ambient_c)
    # a loading is a share of the wires at full current, at least the one whose temperature is asked for
    loaded = max(1.0, loading * count)
    return sqrt(free / (resistance_ohm_m(wire, limit_c) * (loaded + own))) / ampacity_a(wire, ambient_c)


def ratios(count: int, loading: float) -> list[float]:
    """Factor of the rule over the published one, for each size."""
    wires = (aerospace_wire(size, CONDUCTOR_C) for size in SIZES)
    return [factor(wire, count, loading) / bundle_factor(count, loading) for wire in wires]


def table() -> str:
    """A row for each loading, a column for each number of wires."""
    lines = [
        f"| loaded | {' | '.join(map(str, COUNTS))} |",
        f"|---|{'---|' * len(COUNTS)}",
    ]
    worst = 0.0
    for loading in LOADINGS:
        cells = []
        for count in COUNTS:
            found = ratios(count, loading)
            if count <= 19:
                worst = max(worst, *(min(ratio, 1.0 / bundle_factor(count, loading)) for ratio in found))
            cells.append(f"{min(found):.2f}-{max(found):.2f}")
        lines.append(f"| {100 * loading:.0f} % | {' | '.join(cells)} |")
    allowance = Margins().ampacity
    lines.append(f"\nGreatest from 2 to 19 wires, times the allowance of {allowance:.2f}: {worst * allowance:.2f}")
    return "\n".join(lines)


if __name__ == "__main__":
    print(table())
