"""Standard fuses and how much of a fuse is used."""

from __future__ import annotations

import pytest

from allocator.problem import Margins
from allocator.wiring import standard_fuses
from tests.published.tables import rows


def test_ratings_to_40_amperes_are_those_of_blade_fuses() -> None:
    """ISO 8820-3 ratings with a colour of their own (seen; 35 A: memory)."""
    published = [float(row["rating [A]"]) for row in rows("blade-fuses")]
    assert [fuse for fuse in standard_fuses() if fuse <= 40] == published


def test_a_fuse_is_at_least_125_percent_of_its_continuous_load() -> None:
    """Trade guides (seen): the load at most 80 % of the rating. The same margin holds for a trip."""
    assert Margins().fuse_use == pytest.approx(1 / 1.25)
    assert Margins().trip == 1.25
