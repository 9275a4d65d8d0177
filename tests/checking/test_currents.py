from __future__ import annotations

import pytest

from allocator.checking import check
from allocator.evaluation.complete import complete
from tests.checking.builders import box, circuit, layout, load, problem, unit

CONDITIONS = ("day", "night")
PAIR = layout(circuit("lamp"), circuit("fan", "a2"))


def unit_currents(given, decisions=PAIR) -> dict[str, float]:
    return dict(complete(given, decisions).units[0].current_a)


def test_each_condition_has_its_own_current():
    given = problem(load("lamp", levels=(0.0, 1.0)), load("fan", levels=(1.0, 0.5)), conditions=CONDITIONS)
    assert unit_currents(given) == {"day": 4.0, "night": 6.0}


def test_a_dimmed_load_heats_by_the_root_of_its_level():
    given = problem(load("lamp", levels=(0.25, 1.0), needs=("dim",)), conditions=CONDITIONS)
    assert unit_currents(given, layout(circuit("lamp", "b1"))) == {"day": 2.0, "night": 4.0}


@pytest.mark.parametrize(("robust", "current"), [(0, 7.0), (1, 8.0), (2, 8.6), (5, 8.6)])
def test_the_largest_spreads_come_on_top(robust, current):
    loads = (load("lamp", spread=0.25), load("fan", current_a=3.0, spread=0.2))
    given = problem(*loads, margins={"robust": robust})
    assert unit_currents(given) == {"all on": pytest.approx(current)}


def test_current_kept_spare_counts_in_limit_and_feed_but_not_in_the_current():
    given = problem(load("lamp"), load("fan"), units=(unit(spare_current_a=3.0),), unit_types=(box(continuous_a=11.0),))
    assert unit_currents(given) == {"all on": 8.0}
    assert complete(given, PAIR).units[0].feed.fuse_a == 15.0
    assert check(given, PAIR).clean


def test_a_hot_site_takes_its_share_of_unit_and_bank():
    hot = box(hot=((20.0, 0.1), (85.0, 0.1)), outputs=box().outputs)
    given = problem(load("lamp", current_a=3.0), load("fan", current_a=3.5), unit_types=(hot,))
    found = {v.object: v.amount for v in check(given, PAIR).violations if v.rule in ("unit current", "bank current")}
    assert found == {
        "unit main in condition all on": pytest.approx(0.5),
        "bank left of unit main in condition all on": pytest.approx(2.5),
    }


def test_a_limit_met_to_the_last_digit_is_kept():
    # 0.1 + 0.2 is a little more than 0.3 in floating point
    given = problem(load("lamp", current_a=0.1), load("fan", current_a=0.2), unit_types=(box(continuous_a=0.3),))
    assert check(given, PAIR).clean


def test_a_limit_passed_by_a_millionth_is_not():
    given = problem(load("lamp", current_a=0.1), load("fan", current_a=0.200001), unit_types=(box(continuous_a=0.3),))
    assert [v.rule for v in check(given, PAIR).violations] == ["unit current"]
