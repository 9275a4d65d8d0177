from __future__ import annotations

from io import StringIO

from allocator.layout import FEASIBLE
from allocator.pareto_front import Point, Step, Tradeoff
from allocator.reporting.text import plain
from allocator.reporting.tradeoffs import Bar, traded
from tests.reporting.samples import LAYOUT, PROBLEM


def point(outputs: int, copper_g: float, *, proven: bool = True) -> Point:
    return Point(
        copper_g=copper_g, outputs_used=outputs, units_fitted=1, proven=proven, bound_g=copper_g - 2.0, layout=LAYOUT
    )


FOUND = Tradeoff(
    problem="Sample",
    against="outputs",
    status=FEASIBLE,
    points=(point(5, 120.0, proven=False), point(7, 100.0)),
    stopped="stopped at the time limit: points with fewer outputs used may be missing",
)


def test_a_point_that_was_stopped_says_so_and_what_is_known():
    text = plain(traded(PROBLEM, FOUND))
    assert "not proven; not under 118.0 g" in " ".join(text.split())
    assert "Not complete: stopped at the time limit" in text
    assert text.startswith("Sample: copper against outputs used, feasible\n")


def test_what_each_more_output_saves_is_in_the_table():
    row = next(line for line in plain(traded(PROBLEM, FOUND)).splitlines() if line.lstrip().startswith("7 "))
    assert row.split() == ["7", "1", "100.0", "10.0", "proven"]


def test_away_from_a_terminal_each_point_is_a_line():
    stream = StringIO()
    with Bar(stream) as bar:
        bar(Step(0, None, 5, None))
        bar(Step(1, 7, 5, 7))
        bar(Step(2, 6, 5, 7))
    assert stream.getvalue() == (
        "0 points found\n1 point found, 0 of 3 counts done\n2 points found, 1 of 3 counts done\n"
    )


def test_on_a_terminal_a_bar_is_drawn_and_cleared():
    class Terminal(StringIO):
        def isatty(self) -> bool:
            return True

    stream = Terminal()
    with Bar(stream) as bar:
        bar(Step(1, 7, 5, 7))
    assert "1 point" in stream.getvalue()
