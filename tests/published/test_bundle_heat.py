"""The heat of a bundle against the published bundle factors, and against other standards' steps."""

from __future__ import annotations

import pytest

from allocator.problem import Margins
from allocator.wiring import bundle_factor
from benchmarks.bundle_heat_against_table import CONDUCTOR_C, LOADINGS, SIZES, factor
from tests.published.tables import aerospace_wire, rows

WIRES = [aerospace_wire(size, CONDUCTOR_C) for size in SIZES]


@pytest.mark.parametrize("loading", LOADINGS)
@pytest.mark.parametrize("count", range(2, 20))
def test_with_its_allowance_the_rule_is_at_or_below_every_curve(count: int, loading: float) -> None:
    """MIL-W-5088L Fig. 4, third-party digitisation (seen). No wire may carry more than alone."""
    most = max(min(1.0, factor(wire, count, loading)) for wire in WIRES)
    assert Margins().ampacity * most <= bundle_factor(count, loading)


@pytest.mark.parametrize("loading", LOADINGS)
def test_without_the_allowance_it_follows_the_curves(loading: float) -> None:
    """One constant for five curves: within a quarter above and a fifth below, over sizes and numbers of wires."""
    ratios = [factor(wire, n, loading) / bundle_factor(n, loading) for wire in WIRES for n in range(2, 20)]
    assert min(ratios) >= 0.80
    assert max(ratios) <= 1.27


@pytest.mark.parametrize(
    ("count", "printed"),
    [
        *[(2, 0.80), (3, 0.70), (4, 0.65), (5, 0.60), (6, 0.57), (7, 0.54), (8, 0.52), (9, 0.50)],
        *[(12, 0.45), (16, 0.41), (20, 0.38)],
    ],
)
def test_fully_loaded_it_is_near_the_factors_of_bunched_circuits(count: int, printed: float) -> None:
    """IEC 60364-5-52 table B.52.17, bunched in air (from memory): below them with the allowance, near them without."""
    most = max(factor(wire, count, 1.0) for wire in WIRES)
    assert Margins().ampacity * most <= printed
    assert most <= 1.15 * printed


@pytest.mark.parametrize(
    "row", [row for row in rows("nasa-wire-derating") if f"{row['awg']} AWG" in SIZES], ids=lambda row: row["awg"]
)
def test_fully_loaded_it_asks_for_no_less_than_spacecraft_practice(row: dict[str, str]) -> None:
    """NASA EEE-INST-002 (2003): amperes of a wire among 15 or more over those of one alone (memory, seen in part).

    It is made for a vacuum, where nothing leaves by air: only the share of bundle over single wire is compared.
    """
    published = float(row["bundle_amps"]) / float(row["single_wire_amps"])
    wire = aerospace_wire(f"{row['awg']} AWG", CONDUCTOR_C)
    assert Margins().ampacity * factor(wire, 15, 1.0) <= published
