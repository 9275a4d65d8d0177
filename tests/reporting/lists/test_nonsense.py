"""Whatever layout can be read can be listed."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from allocator.layout import Layout
from allocator.reporting import written_reports
from allocator.reporting.lists import build_of
from allocator.reporting.lists.sheets import list_files
from allocator.reporting.text import plain
from tests.checking.rich import rich_layout
from tests.checking.test_nonsense import damaged
from tests.reporting.lists.samples import LAYOUT, PROBLEM


@settings(max_examples=30, deadline=None)
@given(st.data(), st.sampled_from([LAYOUT, rich_layout()]), st.integers(1, 4))
def test_nonsense_is_listed_with_the_rules_it_breaks(data, layout, times):
    read = damaged(layout, times, data.draw)
    if read is None:
        return
    build = build_of(PROBLEM, read)
    assert len(list_files(build)) == 14
    assert plain(written_reports.reported(build))
    assert written_reports.as_json(build)


def test_an_empty_layout_has_lists():
    build = build_of(PROBLEM, Layout(problem=""))
    assert len(list_files(build)) == 14
