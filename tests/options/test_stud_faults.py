"""Faults that no solution could mend: what ground studs carry is fixed by the problem."""

from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.options import list_options
from allocator.problem import Function, Place, Problem
from allocator.search.solve import solve
from tests.problem.samples import load, output, problem, unit_type

FAR, NEAR = load("far", current_a=6.0), load("near", current_a=5.0, place="bench")
ROOMY = unit_type(output(pins=tuple("ABCD")))


def studded(bench_a: float | None, *loads: object, **changed: object) -> Problem:
    places = (Place(name="box", stud_a=100.0), Place(name="bench", stud_a=bench_a), Place(name="door"))
    return problem(**{"places": places, "loads": loads or (FAR, NEAR), "unit_types": (ROOMY,), **changed})


def test_a_stud_that_carries_its_loads_is_no_fault() -> None:
    assert list_options(studded(11.0)).faults == ()
    assert solve(studded(11.0)).status == "optimal"


def test_a_stud_over_its_limit_is_told_with_condition_and_amounts() -> None:
    (fault,) = list_options(studded(10.0)).faults
    assert fault.text == (
        "ground stud at 'bench' would carry 11.0 A in condition 'all on', 1.0 A over its 10 A: give a larger stud, "
        "another stud nearer to some loads, or another return"
    )
    assert solve(studded(10.0)).status == "infeasible"


def test_a_stud_carries_what_is_on_in_each_condition() -> None:
    day, night = replace(FAR, levels=(1.0, 0.2)), replace(NEAR, levels=(0.5, 1.0))
    asked = studded(8.0, day, night, conditions=("day", "night"))
    (fault,) = list_options(asked).faults
    assert "8.5 A in condition 'day'" in fault.text


@pytest.mark.parametrize(
    ("return_to", "faults"),
    [("chassis", 1), ("bench", 1), ("source", 0), ("box", 0), ("door", 0)],
)
def test_only_returns_that_end_at_the_stud_load_it(return_to: str, faults: int) -> None:
    assert len(list_options(studded(10.0, replace(FAR, return_to=return_to), NEAR)).faults) == faults


def test_a_motor_that_reverses_loads_no_stud() -> None:
    able = unit_type(output(pins=tuple("ABCD"), capabilities=("bridge",)))
    assert list_options(studded(10.0, replace(FAR, needs=("bridge",)), NEAR, unit_types=(able,))).faults == ()


def test_a_function_that_one_stud_takes_away_is_told() -> None:
    function = Function(name="light", loads=("far", "near"), survive=1, against=("stud",))
    (fault,) = list_options(studded(50.0, functions=(function,))).faults
    assert fault.text == (
        "function 'light' must keep 1 of 2 loads, and the ground stud at 'bench' leaves 0: give one of them another "
        "return"
    )
    apart = studded(50.0, FAR, replace(NEAR, return_to="box"), functions=(function,))
    assert list_options(apart).faults == ()
