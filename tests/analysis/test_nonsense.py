"""Whatever layout can be read can be compared, and what is told about it can be written down."""

from __future__ import annotations

import json

from hypothesis import given, settings
from hypothesis import strategies as st

from allocator.analysis.comparison import compare
from allocator.analysis.energy import energy
from allocator.analysis.headroom import headroom
from allocator.reporting import comparing
from allocator.reporting.headroom_report import room
from allocator.reporting.text import plain
from tests.checking.rich import rich_complete, rich_layout, rich_problem
from tests.checking.test_nonsense import damaged

PROBLEM, WHOLE = rich_problem(), rich_complete()


@settings(max_examples=30, deadline=None)
@given(st.data(), st.sampled_from([rich_complete(), rich_layout()]), st.integers(1, 4))
def test_nonsense_is_compared_and_has_failures_energy_and_headroom(data, layout, times):
    read = damaged(layout, times, data.draw)
    if read is None:
        return
    found = compare(PROBLEM, {"whole": WHOLE, "odd": read})
    assert plain(comparing.compared(PROBLEM, found))
    assert json.loads(comparing.as_json(PROBLEM, found))
    assert len(energy(PROBLEM, read).balances) == len(PROBLEM.sources) * len(PROBLEM.conditions)
    whole = headroom(PROBLEM, read, ["rear"], 5.0)
    assert plain(room(whole))
    assert whole.largest[0].current_a >= 0.0
