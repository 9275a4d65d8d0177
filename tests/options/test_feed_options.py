"""What a feed carries: the search against a scan of every milliampere; which feeds are listed."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from allocator.options import FeedOption, list_options
from allocator.options.feed_options import fuses_up_to
from allocator.problem import Bulkhead, Bundling, Margins, Place, Problem, Segment, Wire, WireTable
from allocator.wiring import ampacity_a, copper_g, resistance_ohm_m, running_temperature_c, standard_fuses
from tests.problem.samples import problem, unit, unit_type


def cables(*areas_mm2: float) -> WireTable:
    return WireTable(
        name="drawn", wires=tuple(Wire(size=f"{a:g} mm2", area_mm2=a, insulation_c=105.0) for a in areas_mm2)
    )


def fed(length_m: float, *areas_mm2: float, **changed: object) -> Problem:
    segments = (
        Segment(start="box", end="bench", length_m=length_m),
        Segment(start="bench", end="door", length_m=2.0),
    )
    kind = unit_type(continuous_a=300.0)
    values = {"segments": segments, "feed_wires": cables(*areas_mm2), "unit_types": (kind,), **changed}
    return problem(**values)


def carried_ma(asked: Problem, feed: FeedOption) -> int:
    """The most whole milliamperes by trying every one from 0 up, until drop or fuse no longer allows it."""
    allowance = asked.margins.ampacity * ampacity_a(feed.wire, feed.route.ambient_c, asked.altitude_m)
    fuse = max(f for f in standard_fuses() if f <= allowance * (1 + 1e-9))
    most = 0
    for milliamperes in range(1, int(1000 * fuse * asked.margins.fuse_use + 1e-6) + 1):
        current = milliamperes / 1000
        hot = running_temperature_c(current, allowance, feed.route.ambient_c, feed.wire.insulation_c)
        drop = current * resistance_ohm_m(feed.wire, hot) * feed.length_m
        if drop > asked.margins.feed_drop * asked.running_v * (1 + 1e-9):
            break
        most = milliamperes
    return most


@settings(max_examples=40, deadline=None)
@given(
    area_mm2=st.floats(0.5, 4.0),
    length_m=st.floats(0.1, 30.0),
    ambient_c=st.floats(0.0, 100.0),
    feed_drop=st.floats(0.005, 0.05),
    fuse_use=st.sampled_from((0.5, 0.8, 1.0)),
)
def test_a_feed_carries_what_a_scan_of_every_milliampere_finds(
    area_mm2: float, length_m: float, ambient_c: float, feed_drop: float, fuse_use: float
) -> None:
    margins = Margins(bundle=Bundling.NONE, feed_drop=feed_drop, fuse_use=fuse_use)
    asked = fed(length_m, area_mm2, ambient_c=ambient_c, margins=margins)
    for feed in list_options(asked).feeds:
        assert feed.capacity_ma == carried_ma(asked, feed)
        assert feed.length_m == pytest.approx(length_m + 0.3)
        assert feed.copper_g == copper_g(feed.wire, length_m + 0.3)


def test_a_short_feed_carries_what_its_fuse_allows() -> None:
    asked = fed(0.2, 10.0)
    (feed,) = list_options(asked).feeds
    carries = 0.8 * ampacity_a(feed.wire, 45.0)
    assert feed.fuse_a == max(fuse for fuse in standard_fuses() if fuse <= carries)
    assert feed.capacity_ma == 800 * feed.fuse_a


def test_a_long_feed_carries_what_its_drop_allows() -> None:
    (short,), (long,) = list_options(fed(0.2, 10.0)).feeds, list_options(fed(20.0, 10.0)).feeds
    assert long.fuse_a == short.fuse_a
    assert long.capacity_ma < short.capacity_ma / 2


def test_a_cable_that_no_standard_fuse_protects_is_no_feed() -> None:
    assert fuses_up_to(0.9) == []
    assert list_options(fed(1.0, 10.0, ambient_c=104.9999)).feeds == ()


def test_heavier_feeds_are_listed_only_where_they_carry_more() -> None:
    feeds = list_options(fed(0.3, 2.5, 4.0, 6.0, 6.1, 10.0, 16.0)).feeds
    assert len(feeds) >= 4
    for lighter, heavier in pairwise(feeds):
        assert lighter.copper_g < heavier.copper_g
        assert lighter.capacity_ma < heavier.capacity_ma
    assert "6.1 mm2" not in {feed.wire.size for feed in feeds}


def test_more_than_the_unit_may_draw_is_never_needed() -> None:
    kind = unit_type(continuous_a=20.0)
    few = list_options(fed(3.0, 2.5, 4.0, 6.0, 10.0, 16.0, unit_types=(kind,))).feeds
    assert few[-1].capacity_ma >= 20_000
    assert all(feed.capacity_ma < 20_000 for feed in few[:-1])


def around_the_wall(studs: int) -> Problem:
    """A short way through a wall and a long one around it."""
    asked = fed(1.0, 10.0)
    through = replace(asked.segments[0], bulkhead="wall")
    around = (
        Segment(start="box", end="roof", length_m=2.0),
        Segment(start="roof", end="bench", length_m=2.0),
    )
    return replace(
        asked,
        places=(*asked.places, Place(name="roof")),
        segments=(through, asked.segments[1], *around),
        bulkheads=(Bulkhead(name="wall", studs=studs),) if studs else (),
    )


def test_a_way_that_crosses_less_is_kept_though_it_is_longer() -> None:
    ways = [(feed.route.places, feed.route.bulkheads) for feed in list_options(around_the_wall(1)).feeds]
    assert ways == [(("box", "bench"), ("wall",)), (("box", "roof", "bench"), ())]


def test_feeds_are_numbered_over_all_slots() -> None:
    asked = fed(1.0, 6.0, 25.0, units=(unit(), unit("rear", sites=("door",))))
    option_list = list_options(asked)
    assert [feed.index for feed in option_list.feeds] == list(range(len(option_list.feeds)))
    assert [{feed.slot for feed in own} for own in option_list.feeds_by_slot] == [{0}, {1}]
