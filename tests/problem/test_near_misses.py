from __future__ import annotations

import pytest

from allocator.problem.near_misses import key_of, near_miss, suggestion


def test_case_spaces_hyphens_and_underscores_do_not_matter() -> None:
    assert {key_of(name) for name in ("max_drop", "Max Drop", "max-drop", " MAX  drop ")} == {"max_drop"}


@pytest.mark.parametrize("name", ["max_dorp", "maxdrop", "max_drops", "mx_drop"])
def test_a_slip_of_the_pen_is_a_near_miss(name: str) -> None:
    assert near_miss(name, ["max_drop", "max_trip", "place"]) == "max_drop"


@pytest.mark.parametrize("name", ["colour", "supplier page", "remarks", "stock", "note", "status", "function"])
def test_a_column_of_the_users_own_is_none(name: str) -> None:
    known = ("load", "place", "current", "kind", "quantity", "type", "needs", "share", "return", "supply", "spread")
    assert near_miss(name, known) is None


def test_a_remedy_names_the_nearest_or_the_first_few() -> None:
    assert suggestion("rear dor", ["rear door", "bench"], "place") == "Write 'rear door' if that is meant"
    assert suggestion("x", ["b", "a"], "place") == "Name one of the 2 there are: 'a', 'b'"
    assert suggestion("x", ["a"], "place") == "The only place is 'a'"
    assert suggestion("x", [], "place") == "There is no place to name: add it, or leave this empty"
    assert suggestion("x", "abcdefgh", "place").endswith("'f' and 2 more")
