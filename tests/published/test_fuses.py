"""Standard fuses and how much of a fuse is used."""

from __future__ import annotations

import pytest

from allocator.problem import Margins
from allocator.wiring import fuse_stands_a, standard_fuses
from tests.published.tables import rows


def test_ratings_to_40_amperes_are_those_of_blade_fuses() -> None:
    """ISO 8820-3 ratings with a colour of their own (seen; 35 A: memory)."""
    published = [float(row["rating [A]"]) for row in rows("blade-fuses")]
    assert [fuse for fuse in standard_fuses() if fuse <= 40] == published


def test_a_fuse_is_at_least_125_percent_of_its_continuous_load() -> None:
    """Trade guides (seen): the load at most 80 % of the rating. The same margin holds for a trip."""
    assert Margins().fuse_use == pytest.approx(1 / 1.25)
    assert Margins().trip == 1.25


def test_a_fuse_stands_each_gate_for_its_least_time_and_no_longer() -> None:
    """ISO 8820-3 operating times (memory: confirm before it is called per standard); 600 % is not assumed."""
    gates = [(float(row["current [% of rating]"]), float(row["least time [s]"])) for row in rows("fuse-gates")]
    for percent, seconds in gates:
        assert fuse_stands_a(100.0, seconds) == pytest.approx(percent)
    assert [fuse_stands_a(100.0, 1.01 * seconds) for _, seconds in gates[1:]] == pytest.approx(
        [percent for percent, _ in gates[:-1]]
    )
