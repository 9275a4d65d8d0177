"""What is lacking, in words: each family that can be the cause names its limit and by how much it is passed."""

from __future__ import annotations

import pytest

from allocator.advising.elastic import shortfalls
from allocator.advising.limits import Limit, limit_of
from allocator.choosing import build
from allocator.pricing import price
from allocator.reading import read_problem
from tests.choosing.cases import FAILS, FITS, problem, whole
from tests.paths import PROBLEMS

LACKING = {
    "bank_current": "bank A of unit front at shelf: 0.1 A over 10 A",
    "unit_current": "unit front at shelf: 1 A over 11 A",
    "spread": "unit front at shelf: 0.5 A over 11.5 A",
    "feed_current": "heaviest feed of unit front at shelf: 6 A over 12 A",
    "feed_starts": "start of pump behind the feed fuse of unit front at shelf: 1 A over 30 A",
    "enough_outputs": "outputs of class plain on unit front at shelf: 1 output over 2",
    "spare_outputs": "outputs of class plain on unit front at shelf with 2 kept spare: 1 output over 0",
    "enough_contacts": "contacts for 1 to 2 mm2 of bulkhead wall: 1 wire over 1",
    "enough_studs": "studs of bulkhead wall: 1 feed over 1",
    "units_at_a_site": "units at shelf: 1 unit over 1",
    "survive_bulkhead": "function light after the failure of bulkhead wall: 1 load lost over 0",
}


@pytest.mark.parametrize("case", sorted(LACKING))
def test_what_is_lacking_is_said_with_its_limit(case: str) -> None:
    found = shortfalls(whole(problem(case, FAILS)))
    assert found is not None
    assert found.least
    assert [one.text for one in found.shortfalls] == [LACKING[case]]


@pytest.mark.parametrize("case", sorted(LACKING))
def test_where_a_layout_fits_nothing_is_lacking(case: str) -> None:
    found = shortfalls(whole(problem(case, FITS)))
    assert found is not None
    assert found.shortfalls == ()


def test_every_row_of_a_limit_has_words() -> None:
    """No row of the families that hold limits is passed over, in a problem that has nearly all of them."""
    pricing = price(read_problem(PROBLEMS / "clinic-van"))
    model = build(pricing)
    held = ("unit_current", "bank_current", "feed_current", "enough_outputs", "enough_contacts", "survive_unit")
    rows = [(family, row) for family, row in model.rows if family in held]
    assert {family for family, _ in rows} == set(held)
    for family, row in rows:
        limit = limit_of(model.variables, family, row)
        assert limit is not None
        assert limit.amount >= 0.0
        assert limit.name


def test_a_condition_is_named_where_there_are_several() -> None:
    limit = Limit(("bank", 0, "right"), "bank right of unit rear at shelf", 58.0, "A", 1000.0, "surgery")
    assert limit.over(3.6) == "bank right of unit rear at shelf in condition surgery: 3.6 A over 58 A"


def test_a_load_that_nothing_feeds_is_left_aside() -> None:
    pricing = price(problem("each_load_once", FAILS))
    assert shortfalls(pricing) is None
    found = shortfalls(pricing, unfed=[0])
    assert found is not None
    assert found.shortfalls == ()
