"""Bundle factors against the published curves and the examples that read them."""

from __future__ import annotations

import pytest

from allocator.wiring import bundle_factor
from tests.published.tables import rows


@pytest.mark.parametrize("row", rows("bundle-factors"), ids=lambda row: row["wires"])
def test_curves(row: dict[str, str]) -> None:
    """MIL-W-5088L Fig. 4, third-party digitisation (seen; reading error about 0.01)."""
    for loading in (0.2, 0.4, 0.6, 0.8, 1.0):
        assert bundle_factor(int(row["wires"]), loading) == float(row[f"{100 * loading:.0f} %"])


@pytest.mark.parametrize(
    ("wires", "loading", "printed"),
    [
        (8, 0.6, 0.60),  # AC 43.13-1B p. 11-27, seen
        (12, 1.0, 0.43),  # MIL-W-5088L example 2, memory
    ],
)
def test_readings_of_worked_examples(wires: int, loading: float, printed: float) -> None:
    assert bundle_factor(wires, loading) == pytest.approx(printed, abs=0.01)


@pytest.mark.parametrize(
    ("wires", "printed"),
    [
        (33, 0.52),  # AC 43.13-1B Table 11-9, the factor in it: memory
        (35, 0.52),  # MIL-W-5088L example 1: memory
    ],
)
def test_beyond_the_table_the_factor_is_below_the_published_one(wires: int, printed: float) -> None:
    assert 0.8 * printed <= bundle_factor(wires, 0.2) <= printed


@pytest.mark.parametrize(("wires", "printed"), [(2, 0.94), (3, 0.89), (4, 0.83), (5, 0.76)])
def test_the_default_column_is_below_the_older_standard(wires: int, printed: float) -> None:
    """MIL-W-5088B as reprinted in an instrument manual (seen)."""
    assert bundle_factor(wires, 0.6) <= printed


def least_allowed(wires: int) -> float:
    """ABYC E-11 tables (seen in two pages; 25 and more in one), loaded conductors."""
    return 0.70 if wires <= 3 else 0.60 if wires <= 6 else 0.50 if wires <= 24 else 0.40


def test_full_loading_is_within_a_tenth_of_small_craft_practice_or_below_it() -> None:
    """The steps of ABYC E-11 cross the smooth curve: at the first of a step the curve stands above it."""
    above = {n: bundle_factor(n, 1.0) / least_allowed(n) for n in range(3, 60)}
    assert {n for n, ratio in above.items() if ratio > 1} == {3, 4, 5, 7, 8}
    assert max(above.values()) <= 1.10


def test_the_default_column_is_above_small_craft_practice_for_small_bundles() -> None:
    """Up to a quarter at 4 and 7 wires: who claims ABYC E-11 takes `bundle_loading` 100 %."""
    above = {n: bundle_factor(n, 0.6) / least_allowed(n) for n in range(3, 60)}
    assert max(above.values()) == pytest.approx(1.25, abs=0.01)
    assert max(n for n, ratio in above.items() if ratio > 1) == 12
