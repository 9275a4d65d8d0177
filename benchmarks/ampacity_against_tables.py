"""How far the free-air heat balance is from published ampacity tables, as a Markdown table.

Run: ``python -m benchmarks.ampacity_against_tables``
"""

from __future__ import annotations

from itertools import groupby

from allocator.problem import Margins
from tests.published.tables import Published, ampacities


def table() -> str:
    """One line for each published table and conductor temperature: points, least, most and mean ratio."""
    allowance = Margins().ampacity
    lines = [
        f"| published table | conductor degC | points | least | most | mean | most x {allowance:.2f} |",
        "|---|---|---|---|---|---|---|",
    ]
    ordered = sorted(ampacities(), key=_group)
    for (name, limit), points in groupby(ordered, key=_group):
        ratios = [point.ratio for point in points]
        lines.append(
            f"| {name} | {limit:.0f} | {len(ratios)} | {min(ratios):.2f} | {max(ratios):.2f} "
            f"| {sum(ratios) / len(ratios):.2f} | {max(ratios) * allowance:.2f} |"
        )
    return "\n".join(lines)


def _group(point: Published) -> tuple[str, float]:
    return point.table, point.wire.insulation_c


if __name__ == "__main__":
    print(table())
