from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from math import hypot

import pytest

from allocator.problem import Place
from allocator.reading import read_problem
from allocator.reporting.pictures.node_positions import around, node_positions
from tests.paths import PROBLEMS
from tests.reporting.samples import PROBLEM

VAN = read_problem(PROBLEMS / "clinic-van")


def laid(problem, *, narrow=False, room=4.0):
    names = [place.name for place in problem.places]
    return node_positions(problem, dict.fromkeys(names, room), 1000.0, (300.0, 900.0), 80.0, narrow)


def test_distances_are_to_scale():
    found = laid(VAN)
    for a, b in (("nose", "rear door"), ("left footwell", "bench left")):
        true = hypot(VAN.place[a].x_m - VAN.place[b].x_m, VAN.place[a].y_m - VAN.place[b].y_m)
        drawn = hypot(found.at[a][0] - found.at[b][0], found.at[a][1] - found.at[b][1])
        assert drawn == pytest.approx(true * found.points_a_metre, rel=1e-6)
    assert found.moved_m == 0.0


def test_the_longer_side_lies_across_and_upright_where_it_is_narrow():
    for narrow, axis in ((False, 0), (True, 1)):
        found = laid(VAN, narrow=narrow)
        reach = [max(p[k] for p in found.at.values()) - min(p[k] for p in found.at.values()) for k in (0, 1)]
        assert reach[axis] == max(reach)


def test_turning_does_not_mirror():
    def side(found, a, b, c):
        (ax, ay), (bx, by), (cx, cy) = (found.at[name] for name in (a, b, c))
        return (bx - ax) * (cy - ay) - (by - ay) * (cx - ax) > 0.0

    corner = ("nose", "rear left pillar", "rear right pillar")
    assert side(laid(VAN), *corner) == side(laid(VAN, narrow=True), *corner)


def test_places_that_would_hide_each_other_are_pushed_apart_and_it_is_said_by_how_much():
    above = (*VAN.places, Place(name="above the nose", x_m=0.15, y_m=0.0, z_m=2.0))
    found = laid(replace(VAN, places=above), room=10.0)
    (ax, ay), (bx, by) = found.at["nose"], found.at["above the nose"]
    assert hypot(ax - bx, ay - by) >= 20.0 - 0.1
    assert found.moved_m == pytest.approx(10.0 / found.points_a_metre, rel=0.2)


def test_without_coordinates_the_network_is_laid_out_and_nothing_is_to_scale():
    found = laid(PROBLEM)
    assert found.points_a_metre is None
    assert len(set(found.at.values())) == len(PROBLEM.places)
    assert found == laid(PROBLEM)


def test_one_place_alone_can_be_drawn():
    alone = replace(
        PROBLEM,
        places=(Place(name="nose", x_m=1.0, y_m=1.0, z_m=0.0),),
        segments=(),
        loads=tuple(replace(load, place="nose", return_to="source") for load in PROBLEM.loads),
        units=tuple(replace(unit, sites=("nose",)) for unit in PROBLEM.units),
        sources=(replace(PROBLEM.sources[0], place="nose"),),
    )
    assert list(laid(alone).at) == ["nose"]


@pytest.mark.parametrize("count", [0, 1, 6, 7, 23])
def test_marks_around_a_place_do_not_overlap(count):
    found = list(around(count, 14.0, 14.0))
    assert len(found) == count
    for n, (ax, ay) in enumerate(found):
        assert all(hypot(ax - bx, ay - by) > 11.9 for bx, by in found[:n])


def test_without_coordinates_places_stand_the_same_in_every_run():
    code = """
from dataclasses import replace
from tests.reporting.pictures.test_node_positions import VAN, laid
places = tuple(replace(place, x_m=None, y_m=None, z_m=None) for place in VAN.places)
print(sorted(laid(replace(VAN, places=places)).at.items()))
"""
    found = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(PROBLEMS.parent)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2", "3")
    }
    assert len(found) == 1
