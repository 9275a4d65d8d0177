"""Forced totals are held against a pin that is written into the folder, by nothing that explain uses."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from allocator import solve
from allocator.explaining.forcing import Force, Forced
from allocator.reading import read_problem
from benchmarks.explained import Held, pinned, spread_out, table
from tests.explaining.test_why import NEARER
from tests.paths import PROBLEMS


def test_a_pin_is_written_into_the_unit_column_and_nothing_else_changes():
    before, after = read_problem(NEARER), pinned(NEARER, Force("pump", "front"))
    assert after.load["pump"].unit == "front"
    unpinned = tuple(replace(load, unit=None) for load in after.loads)
    assert replace(after, loads=unpinned) == before


def test_a_site_is_the_only_one_left():
    after = pinned(PROBLEMS / "hill-climber", Force("horn", "main", "left pod"))
    assert after.unit["main"].sites == ("left pod",)


def test_another_total_or_status_is_not_the_same():
    layout = solve(pinned(NEARER, Force("pump", "front")))
    assert layout.objective_g is not None
    same = Forced(Force("pump", "front"), layout.status, layout.objective_g)
    assert Held(forced=same, separate=layout).same
    assert not Held(forced=replace(same, objective_g=layout.objective_g + 0.1), separate=layout).same
    assert not Held(forced=replace(same, status="feasible"), separate=layout).same
    assert not Held(forced=Forced(Force("pump", "front"), "infeasible"), separate=layout).same


def test_loads_are_taken_evenly_from_the_schedule():
    van = read_problem(PROBLEMS / "clinic-van")
    names = [load.name for load in van.loads]
    places = [names.index(name) for name in spread_out(van, 10)]
    assert len(places) == 10
    assert places == sorted(set(places))
    assert max(b - a for a, b in pairwise(places)) < len(names) / 4


def test_the_table_ends_with_how_many_were_the_same():
    lines = list(table([NEARER], 2))
    assert len(lines) == 6
    assert lines[-1].startswith("2 of 2 the same, 2 loads, ")
