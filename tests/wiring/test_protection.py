from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from allocator.problem import OutputClass
from allocator.wiring import fuse_stands_a, least_trip, standard_fuses, trip_settings


def output(continuous: float, step: float | None = None, trips: tuple[float, ...] = ()) -> OutputClass:
    return OutputClass(
        name="heavy",
        pins=("L1",),
        continuous_a=continuous,
        wire_mm2=(0.5, 6.0),
        trip_step_a=step,
        trips_a=trips,
    )


def test_steps_end_at_the_continuous_rating() -> None:
    assert trip_settings(output(2.0, step=0.5)) == (0.5, 1.0, 1.5, 2.0)
    assert trip_settings(output(2.2, step=0.5)) == (0.5, 1.0, 1.5, 2.0)


def test_steps_are_round_figures() -> None:
    assert trip_settings(output(0.3, step=0.1)) == (0.1, 0.2, 0.3)


def test_listed_trips_are_sorted_and_none_is_above_the_rating() -> None:
    assert trip_settings(output(10.0, trips=(10.0, 3.0, 15.0, 5.0))) == (3.0, 5.0, 10.0)


def test_a_current_on_a_setting_takes_that_setting() -> None:
    assert least_trip(output(24.0, step=0.5), 12.5) == 12.5
    assert least_trip(output(24.0, step=0.5), 12.5 * (1 + 1e-12)) == 12.5
    assert least_trip(output(24.0, step=0.5), 12.51) == 13.0


def test_no_setting_reaches_above_the_rating() -> None:
    assert least_trip(output(24.0, step=0.5), 24.1) is None


@given(
    st.floats(1.0, 40.0),
    st.one_of(
        st.tuples(st.sampled_from([0.1, 0.25, 0.5, 1.0]), st.just(())),
        st.tuples(
            st.none(),
            st.lists(st.integers(1, 60).map(float), unique=True).map(lambda trips: (1.0, *(t + 1 for t in trips))),
        ),
    ),
    st.floats(0.0, 50.0),
)
def test_the_least_trip_is_the_least(
    continuous: float, settings: tuple[float | None, tuple[float, ...]], current: float
) -> None:
    heavy = output(continuous, *settings)
    enough = [trip for trip in trip_settings(heavy) if trip >= current * (1 - 1e-9)]
    found = least_trip(heavy, current)
    assert found == (min(enough) if enough else None)
    assert found is None or found <= continuous * (1 + 1e-9)


def test_fuses_ascend_and_none_is_twice() -> None:
    fuses = standard_fuses()
    assert list(fuses) == sorted(set(fuses))
    assert (fuses[0], fuses[-1]) == (1.0, 500.0)


def test_a_fuse_stands_more_for_a_shorter_time() -> None:
    assert [fuse_stands_a(10.0, seconds) for seconds in (0.01, 0.08, 0.1, 0.15, 0.2, 0.25, 0.5, 0.75, 0.8, 60.0)] == [
        35.0,
        35.0,
        20.0,
        20.0,
        16.0,
        16.0,
        13.5,
        13.5,
        11.0,
        11.0,
    ]


@given(st.floats(1e-3, 1e4), st.floats(1e-3, 1e4), st.sampled_from(standard_fuses()))
def test_a_longer_time_is_never_stood_at_more(one: float, other: float, fuse: float) -> None:
    assert fuse_stands_a(fuse, max(one, other)) <= fuse_stands_a(fuse, min(one, other))
    assert fuse <= fuse_stands_a(fuse, one) <= 3.5 * fuse


def test_no_time_at_all_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^a start of 0 s\. Give a time above 0\.$"):
        fuse_stands_a(10.0, 0.0)
