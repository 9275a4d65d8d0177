"""Start currents against the peaks of outputs, alone, in parallel, shared, and at hot sites."""

from __future__ import annotations

from typing import Any

import pytest

from allocator.checking import check
from tests.checking.builders import box, circuit, heavy, layout, light, load, problem

PEAKS = ((30.0, 0.1), (20.0, 0.5), (12.0, 5.0))
WIDE = {"branch_drop": 0.2}


def over_a(*loads: Any, one=None, hot: tuple = (), peaks: tuple = PEAKS) -> float:
    """By how much a start passes what the output gives; 0.0 where it does not. Nothing else may be broken."""
    outputs = (light(peaks=peaks), heavy(peaks=((45.0, 0.2),)))
    given = problem(*loads, unit_types=(box(outputs=outputs, hot=hot),), margins=WIDE)
    violations = check(given, layout(one or circuit(size="2.5 mm2"))).violations
    assert {violation.rule for violation in violations} <= {"start current"}
    return max((violation.amount for violation in violations), default=0.0)


def starting(inrush_a: float, seconds: float, **changes: Any):
    return load(**{"inrush_a": inrush_a, "inrush_s": seconds, **changes})


@pytest.mark.parametrize(
    ("seconds", "allowed"),
    [(0.05, 30.0), (0.1, 30.0), (0.11, 20.0), (0.5, 20.0), (2.0, 12.0), (5.1, 10.0), (60.0, 10.0)],
)
def test_the_highest_peak_that_lasts_is_allowed_and_the_rating_always(seconds, allowed):
    assert over_a(starting(allowed, seconds)) == 0.0
    assert over_a(starting(allowed + 1.0, seconds)) == pytest.approx(1.0)


def test_without_peaks_the_rating_is_all():
    assert over_a(starting(10.0, 0.01), peaks=()) == 0.0
    assert over_a(starting(11.0, 0.01), peaks=()) == pytest.approx(1.0)


def test_a_hot_site_has_less():
    assert over_a(starting(27.0, 0.1), hot=((20.0, 0.8), (85.0, 0.8))) == pytest.approx(27.0 - 24.0)


def test_starts_of_one_shared_output_add_up():
    loads = (starting(12.0, 0.1, share="s"), starting(9.0, 0.4, name="spot", place="middle", current_a=2.0, share="s"))
    shared = circuit("lamp spot", size="2.5 mm2")
    # for 0.1 s both start, 21 A of 30 A; for 0.4 s the lamp runs, 13 A of 20 A
    assert over_a(*loads, one=shared) == 0.0
    longer = (loads[0], starting(17.5, 0.4, name="spot", place="middle", current_a=2.0, share="s"))
    assert over_a(*longer, one=shared) == pytest.approx(4.0 + 17.5 - 20.0)


def test_a_load_that_does_not_start_runs_at_its_full_current():
    loads = (starting(27.0, 0.1, share="s"), load("spot", "middle", 2.0, spread=0.25, share="s"))
    assert over_a(*loads, one=circuit("lamp spot", size="2.5 mm2")) == 0.0
    more = (starting(28.0, 0.1, share="s"), loads[1])
    assert over_a(*more, one=circuit("lamp spot", size="2.5 mm2")) == pytest.approx(0.5)


def test_a_start_divides_among_parallel_outputs():
    # 45 A on each of two, used to 0.9: 81 A
    one = circuit(pins="b1 b2", size="6 mm2")
    assert over_a(starting(81.0, 0.2, current_a=25.0), one=one) == 0.0
    assert over_a(starting(90.0, 0.2, current_a=25.0), one=one) == pytest.approx(90.0 / 1.8 - 45.0)


def test_each_output_of_a_bridge_gives_the_whole_start():
    one = circuit(pins="b1 b2", size="4 mm2")
    assert over_a(starting(46.0, 0.2, current_a=6.0, needs=("bridge",)), one=one) == pytest.approx(1.0)
