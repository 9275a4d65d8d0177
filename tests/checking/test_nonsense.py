"""A layout file of any nonsense is refused when it is read, or breaks rules; nothing else is raised."""

from __future__ import annotations

import copy
import json
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from allocator.checking import Report, check
from allocator.layout import Layout, LayoutError
from tests.checking.rich import rich_complete, rich_layout, rich_problem

PROBLEM = rich_problem()
WORDS = ["front", "rear", "nowhere", "main", "aux", "a1", "b2", "lamp", "winch", "trunk", "branch", "out", "any", ""]
NONSENSE = st.one_of(
    st.none(),
    st.booleans(),
    st.sampled_from([-1, 0, 1, 2, 10**9, 10**30, -1e300, 1e-300, 0.5]),
    st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from([*WORDS, "1.5 mm2", "100 mm2", "light", "wall"]),
    st.text(max_size=3),
    st.just([]),
    st.just({}),
    st.lists(st.sampled_from(WORDS), max_size=3),
)


def spots(thing: Any) -> list[tuple[Any, Any]]:
    """Every (container, key) of a JSON value."""
    keys = thing.keys() if isinstance(thing, dict) else range(len(thing)) if isinstance(thing, list) else ()
    return [spot for key in keys for spot in [(thing, key), *spots(thing[key])]]


def damage(data: Any, draw: Any) -> None:
    container, key = draw(st.sampled_from(spots(data)))
    what = draw(st.sampled_from(["replace", "replace", "remove", "double"]))
    if what == "remove":
        del container[key]
    elif what == "double" and isinstance(container, list):
        container.append(copy.deepcopy(container[key]))
    else:
        container[key] = draw(NONSENSE)


def damaged(layout: Layout, times: int, draw: Any) -> Layout | None:
    """A layout with so many places of its file damaged; None where that can no longer be read."""
    body = json.loads(layout.to_json())
    for _ in range(times):
        damage(body, draw)
    try:
        return Layout.from_json(json.dumps(body))
    except LayoutError:
        return None


@settings(max_examples=300, deadline=None)
@given(st.data(), st.sampled_from([rich_complete(), rich_layout()]), st.integers(1, 4))
def test_nonsense_is_refused_or_breaks_rules(data, layout, times):
    read = damaged(layout, times, data.draw)
    if read is None:
        return
    report = check(PROBLEM, read)
    assert isinstance(report, Report)
    assert json.dumps([violation.amount for violation in report.violations], allow_nan=False)
    assert report.layout.to_json()


def test_an_empty_layout_feeds_no_load():
    rules = [violation.rule for violation in check(PROBLEM, Layout(problem="")).violations]
    assert rules.count("load fed once") + rules.count("direct load") == len(PROBLEM.loads)
