"""Lazy rows: joined, they lose nothing, and they say what an option list tells apart."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from allocator.options import LazyRows

NUMBERS = st.integers(0, 4)
SQUARES = st.lists(st.sampled_from((4.0, 9.5, 16.25)), unique=True).map(lambda found: tuple(sorted(found)))
CONDITIONS = st.lists(st.integers(0, 3), unique=True).map(lambda found: tuple(sorted(found)))
WATCHES = st.builds(
    LazyRows,
    st.dictionaries(NUMBERS, SQUARES),
    st.dictionaries(NUMBERS, CONDITIONS),
    st.dictionaries(NUMBERS, st.floats(0.1, 9.0)),
    st.dictionaries(NUMBERS, st.integers(1, 9)),
    st.dictionaries(NUMBERS, SQUARES),
)


def test_at_first_nothing_is_watched() -> None:
    assert not LazyRows()
    assert LazyRows().segments == frozenset()


def test_a_segment_is_watched_for_its_bundle_or_for_its_cables() -> None:
    assert LazyRows(bundles={3: ()})
    assert LazyRows(cables={1: 2})
    assert LazyRows(bundles={3: ()}, cables={1: 2, 3: 4}).segments == {1, 3}


def test_joined_it_has_every_square_and_condition_once_in_order() -> None:
    one = LazyRows({1: (9.5,)}, {1: (2,)}, feeds={0: (30.0,)})
    other = LazyRows({1: (4.0, 9.5), 2: ()}, {1: (0, 2)}, feeds={0: (10.0,), 5: (1.0,)})
    joined = one | other
    assert joined.bundles == {1: (4.0, 9.5), 2: ()}
    assert joined.conditions == {1: (0, 2)}
    assert joined.feeds == {0: (10.0, 30.0), 5: (1.0,)}


def test_joined_it_has_the_least_of_the_hottest_wires_and_the_most_cables() -> None:
    """Rows are made for loads that add a share of the least; more cables side by side are told apart up to the most."""
    joined = LazyRows(hottest_w_m={1: 3.0, 2: 5.0}, cables={1: 4}) | LazyRows(hottest_w_m={1: 2.0}, cables={1: 3, 7: 2})
    assert joined.hottest_w_m == {1: 2.0, 2: 5.0}
    assert joined.cables == {1: 4, 7: 2}


@given(WATCHES, WATCHES, WATCHES)
def test_in_whatever_order_things_are_met_the_same_is_watched(one: LazyRows, other: LazyRows, third: LazyRows) -> None:
    assert one | other == other | one
    assert (one | other) | third == one | (other | third)
    assert one | one == one
    assert one | LazyRows() == one
    assert (one | other).segments == one.segments | other.segments
