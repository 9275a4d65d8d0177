from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from allocator.evaluation.complete import complete
from allocator.evaluation.prepare import prepare
from allocator.layout import FittedUnit
from allocator.problem import Bulkhead, ContactSet
from allocator.reporting.pictures.plan import NARROW, WIDE, plan
from allocator.reporting.runs import stretches
from tests.reporting.samples import LAYOUT, PROBLEM


def drawn(layout=LAYOUT, problem=PROBLEM, **how):
    whole = complete(problem, layout)
    return plan(problem, whole, stretches(prepare(problem, layout), whole), **how)


@cache
def sample():
    return drawn()


def test_everything_is_on_it_and_can_be_found_by_name():
    named = {*sample().named.values()}
    assert {("load", load.name) for load in PROBLEM.loads} <= named
    assert {("unit", "front"), ("source", "main"), ("stretch", "nose - warm")} <= named
    assert ("unit", "rear") not in named


def test_a_bulkhead_is_on_it():
    wall = Bulkhead(name="wall", contacts=(ContactSet(count=9, wire_mm2=(0.5, 6.0)),), studs=1)
    segments = (replace(PROBLEM.segments[0], bulkhead="wall"), *PROBLEM.segments[1:])
    with_wall = replace(PROBLEM, bulkheads=(wall,), segments=segments)
    assert ("bulkhead", "wall") in drawn(problem=with_wall).named.values()


@pytest.mark.parametrize(("narrow", "width"), [(False, WIDE), (True, NARROW)])
def test_it_is_as_wide_as_asked_and_all_stands_inside(narrow, width):
    found = drawn(narrow=narrow)
    assert found.drawing.width == width
    for x, y in (*found.place_at.values(), *found.load_at.values()):
        assert 0.0 < x < width
        assert 0.0 < y < found.node_positions.height


def test_more_copper_is_a_thicker_line():
    lines = {sample().named[id_][1]: part for id_, part in sample().drawing.parts() if id_}
    found = {one.name: one for one in stretches(prepare(PROBLEM, LAYOUT), complete(PROBLEM, LAYOUT))}
    laid = sorted((one for one in found.values() if one.wires), key=lambda one: one.copper_g_m)
    widths = [lines[one.name].width for one in laid]
    assert widths == sorted(widths)
    assert widths[0] < widths[-1]


def test_names_of_places_are_written_once():
    texts = sample().drawing.words
    assert [texts.count(place.name) for place in PROBLEM.places] == [1] * len(PROBLEM.places)


def test_without_coordinates_it_says_so():
    assert any("Not to scale" in text for text in sample().drawing.words)


def test_alone_it_has_a_title_and_a_key():
    texts = " ".join(drawn(alone=True).drawing.words)
    assert "sample: optimal" in texts
    assert "square: unit (1 front)" in texts


def test_what_the_problem_does_not_have_is_left_out():
    strange = replace(LAYOUT, units=(*LAYOUT.units, FittedUnit(name="ghost", site="nowhere")))
    assert ("unit", "ghost") not in drawn(strange).named.values()
