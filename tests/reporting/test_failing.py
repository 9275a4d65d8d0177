from __future__ import annotations

from allocator.analysis.failures import failures
from allocator.layout import FittedUnit
from allocator.problem import Function, Source
from allocator.reporting.failing import called, failing, listed
from allocator.reporting.text import plain
from tests.checking.builders import circuit, layout, load, problem, unit

PAIR = Function(name="pair", loads=("lamp", "fan"), survive=1, against=("output",))
ALONE = Function(name="pumping", loads=("pump",), survive=1, against=("output",))
CART = problem(load("lamp"), load("fan"), load("pump"), functions=(PAIR, ALONE), units=(unit(),))


def words(*circuits) -> str:
    return " ".join(plain(failing(CART, failures(CART, layout(*circuits)))).split())


def test_the_worst_failures_and_what_ends_each_function_are_told():
    circuits = (circuit("lamp", "a1"), circuit("fan", "a2"), circuit("pump", "b1"))
    text = words(*circuits)
    worst = failures(CART, layout(*circuits)).worst()[0]
    assert called(worst) == "source battery (so does unit main, stud rear, the feed of unit main)"
    assert "* gone with source battery, unit main, stud rear and 2 more: pair" in text
    assert "* gone with source battery, unit main, stud rear and 3 more: pumping" in text


def test_a_function_that_outlives_everything_is_named_as_such():
    """Two sources, units and studs: nothing single takes both lamps."""
    apart = problem(
        load("lamp", "front", return_to="source"),
        load("fan", "middle", return_to="middle"),
        functions=(PAIR,),
        units=(unit(sites=("front",)), unit("aux", sites=("middle",), source="other")),
        sources=tuple(Source(name=name, place="battery") for name in ("battery", "other")),
    )
    units = (FittedUnit(name="main", site="front"), FittedUnit(name="aux", site="middle"))
    laid = layout(circuit("lamp", "a1"), circuit("fan", "a1", unit="aux"), units=units)
    assert "* still there whatever single thing fails: pair\n" in plain(failing(apart, failures(apart, laid)))


def test_loads_that_nothing_feeds_are_named():
    assert "2 loads are not fed at all: fan, pump." in words(circuit("lamp", "a1"))


def test_a_function_that_nothing_feeds_is_gone_from_the_start_and_outlives_nothing():
    text = words(circuit("lamp", "a1"), circuit("fan", "a2"))
    assert "* gone from the start, as too few of their loads are fed: pumping" in text
    assert "still there whatever single thing fails" not in text


def test_what_is_only_degraded_is_told_for_the_failures_that_lose_the_most():
    circuits = (circuit("lamp", "a1"), circuit("fan", "a2"), circuit("pump", "b1"))
    text = words(*circuits)
    assert "* degraded, not gone, with bank left of unit main: pair" not in text  # takes lamp and fan: the pair is gone
    assert "* degraded, not gone, with output a1 of unit main, output a2 of unit main: pair" in text


def test_long_lists_end_in_a_count():
    assert listed(["a", "b", "c", "d", "e"]) == "a, b, c and 2 more"
