from __future__ import annotations

import pytest

from allocator.analysis.wire_lengths import lengths
from allocator.evaluation.complete import complete
from tests.checking.rich import rich_layout, rich_problem


def test_lengths_and_copper_add_up_to_the_totals_of_the_check():
    layout = complete(rich_problem(), rich_layout())
    found = lengths(layout)
    assert layout.totals is not None
    assert {one.use for one in found} == {"branch", "feed", "given"}
    assert sum(one.length_m for one in found) == pytest.approx(layout.totals.length_m, abs=1e-5)
    assert sum(one.copper_g for one in found) == pytest.approx(layout.totals.copper_g, abs=1e-2)
    assert sum(one.copper_g for one in found if one.use == "feed") == pytest.approx(layout.totals.feed_copper_g)


def test_a_layout_by_hand_that_knows_no_lengths_has_sizes_without_metres():
    found = {one.size: one for one in lengths(rich_layout())}
    assert found["6 mm2"].pieces == 1
    assert found["6 mm2"].length_m == 0.0
