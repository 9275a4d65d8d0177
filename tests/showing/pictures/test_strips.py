from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.checking.prepare import prepare
from allocator.showing.loaded import loaded_outputs
from allocator.showing.pictures.strips import NARROW, WIDE, strip, strips
from tests.showing.samples import LAYOUT, PROBLEM

OUTPUTS = loaded_outputs(prepare(PROBLEM, LAYOUT))


def test_one_bar_for_each_output_and_condition_as_a_share_of_the_rating():
    bars = strip(OUTPUTS, PROBLEM.conditions).axes[0].containers
    assert [len(one) for one in bars] == [len(OUTPUTS)] * len(PROBLEM.conditions)
    assert bars[0][0].get_height() == pytest.approx(10.0 / 13.5)


def test_each_output_is_named_with_what_it_feeds_or_that_it_is_idle():
    names = [label.get_text() for label in strip(OUTPUTS, PROBLEM.conditions).axes[0].get_xticklabels()]
    assert names[0] == "H1  heater (1 of 2)"
    assert names[-2:] == ["S4  (unused)", "S5  (spare)"]


def test_a_long_name_is_cut_and_keeps_which_output_of_how_many_it_is():
    long = [replace(OUTPUTS[0], feeds="a name that is far too long for it (1 of 2)")]
    (name,) = [label.get_text() for label in strip(long, PROBLEM.conditions).axes[0].get_xticklabels()]
    assert name == "H1  a name that is … (1 of 2)"


def test_an_overloaded_output_is_drawn_in_full():
    over = [replace(OUTPUTS[0], current_a=(27.0, 0.0))]
    assert strip(over, PROBLEM.conditions).axes[0].get_ylim()[1] > 2.0
    assert strip(over, PROBLEM.conditions, narrow=True).axes[0].get_xlim()[1] > 2.0


@pytest.mark.parametrize(("narrow", "width"), [(False, WIDE), (True, NARROW)])
def test_it_is_as_wide_as_asked(narrow, width):
    assert strip(OUTPUTS, PROBLEM.conditions, narrow=narrow).get_figwidth() * 72.0 == pytest.approx(width)


def test_the_key_names_every_condition():
    for narrow in (False, True):
        (key,) = strip(OUTPUTS, PROBLEM.conditions, narrow=narrow).legends
        assert [text.get_text() for text in key.texts] == [*PROBLEM.conditions, "may be used", "full current"]


def test_a_file_has_every_unit_below_the_other():
    figure = strips([("Unit one", OUTPUTS), ("Unit two", OUTPUTS)], PROBLEM.conditions)
    assert len(figure.axes) == 2
    assert [text.get_text() for text in figure.texts] == ["Unit one", "Unit two"]


def test_a_site_that_is_too_hot_leaves_no_rating_and_is_drawn_all_the_same():
    hot = [replace(OUTPUTS[0], rating_a=0.0, allowed_a=0.0)]
    assert strip(hot, PROBLEM.conditions).axes[0].containers[0][0].get_height() == 1.0
