from __future__ import annotations

from dataclasses import replace

from allocator.problem import Bundling
from allocator.showing.reading_order import whole
from allocator.showing.text import plain
from tests.showing.samples import LAYOUT, PROBLEM


def test_cautions_are_printed_once_and_last():
    text = plain(whole(PROBLEM, LAYOUT))
    assert text.count("Cautions\n") == 1
    assert text.index("Proof\n") < text.index("Cautions\n")


def test_fire_energy_measurement_codes_and_practice_are_all_named():
    text = " ".join(plain(whole(PROBLEM, LAYOUT)).split())
    words = ("can burn", "hold energy", "airbags", "brakes", "measurement", "Local codes", "licensed practice")
    assert [word for word in words if word not in text] == []


def test_where_bundle_factors_are_off_the_reader_is_told_what_that_means():
    alone = replace(PROBLEM, margins=replace(PROBLEM.margins, bundle=Bundling.NONE))
    bundled = replace(PROBLEM, margins=replace(PROBLEM.margins, bundle=Bundling.HEAT))
    assert "sized as if it lay alone" in " ".join(plain(whole(alone, LAYOUT)).split())
    assert "lay alone" not in " ".join(plain(whole(bundled, LAYOUT)).split())
