from __future__ import annotations

from dataclasses import replace

from allocator.problem import Bundling, Cables
from allocator.reporting.cautions import cautions
from allocator.reporting.reading_order import whole
from allocator.reporting.text import plain
from tests.reporting.samples import LAYOUT, PROBLEM


def test_cautions_are_printed_once_and_last():
    text = plain(whole(PROBLEM, LAYOUT))
    assert text.count("Cautions\n") == 1
    assert text.index("Proof\n") < text.index("Cautions\n")


def test_fire_energy_measurement_codes_and_practice_are_all_named():
    text = " ".join(plain(whole(PROBLEM, LAYOUT)).split())
    words = ("can burn", "hold energy", "airbags", "brakes", "measurement", "Local codes", "licensed practice")
    assert [word for word in words if word not in text] == []


def test_where_the_heat_of_bundles_is_left_out_the_reader_is_told_what_that_means():
    alone = replace(PROBLEM, margins=replace(PROBLEM.margins, bundle=Bundling.NONE))
    bundled = replace(PROBLEM, margins=replace(PROBLEM.margins, bundle=Bundling.HEAT))
    assert "sized without bundle derating" in " ".join(plain(whole(alone, LAYOUT)).split())
    assert "lay alone" not in " ".join(plain(whole(bundled, LAYOUT)).split())


def said(problem):
    return " ".join(plain(cautions(problem)).split())


def with_margins(**margins):
    return replace(PROBLEM, margins=replace(PROBLEM.margins, **margins))


def test_by_heat_still_air_is_named_and_what_to_do_in_foam_or_conduit():
    assert "open harness in still air, not for foam or closed conduit" in said(PROBLEM)
    assert "column 'bundle'" in said(PROBLEM)


def test_by_the_table_sizes_hold_for_what_was_stated():
    text = said(with_margins(bundle=Bundling.TABLE, bundle_wires=8, bundle_loading=0.6))
    assert "the most wires and the loading that were stated" in text
    assert "still air" not in text


def test_cables_are_said_to_be_tied_beside_only_where_they_are_taken_to_be():
    beside = "tied beside the bundle"
    assert beside in said(PROBLEM)
    assert beside not in said(with_margins(cables=Cables.INSIDE))
    assert beside not in said(with_margins(bundle=Bundling.NONE))


def test_without_segments_nothing_is_known_of_bundles_and_that_is_said():
    places = tuple(replace(place, x_m=float(n), y_m=0.0, z_m=0.0) for n, place in enumerate(PROBLEM.places))
    text = said(replace(PROBLEM, places=places, segments=()))
    assert "Without segments it is not known which wires run together" in text
    assert "still air" not in text
