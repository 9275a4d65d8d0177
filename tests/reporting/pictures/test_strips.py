from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.evaluation.prepare import prepare
from allocator.reporting.loaded import loaded_outputs
from allocator.reporting.pictures.drawing import Line, Outline, Words
from allocator.reporting.pictures.marks import shades
from allocator.reporting.pictures.strips import BARS, NARROW, TITLE, TOP, WIDE, strip, strips
from tests.reporting.pictures.shown import parts
from tests.reporting.samples import LAYOUT, PROBLEM

OUTPUTS = loaded_outputs(prepare(PROBLEM, LAYOUT))


def tall(bar):
    """Height of a bar, as a share of the rating where nothing is overloaded."""
    heights = [y for _, y in bar.points]
    return (max(heights) - min(heights)) / BARS * TOP


def turned(drawing):
    return [words.text for words in parts(drawing, Words) if words.turned]


def test_one_bar_for_each_output_and_condition_as_a_share_of_the_rating():
    drawn = [(bar.fill, tall(bar)) for bar in parts(strip(OUTPUTS, PROBLEM.conditions), Outline)]
    for n, hue in enumerate(shades(PROBLEM.conditions)):
        shares = [one.current_a[n] / one.rating_a for one in OUTPUTS if one.current_a[n]]
        assert [height for fill, height in drawn if fill == hue][: len(shares)] == pytest.approx(shares)
    assert drawn[0][1] == pytest.approx(10.0 / 13.5)


def test_each_output_is_named_with_what_it_feeds_or_that_it_is_idle():
    names = turned(strip(OUTPUTS, PROBLEM.conditions))
    assert names[0] == "H1  heater (1 of 2)"
    assert names[-2:] == ["S4  (unused)", "S5  (spare)"]


def test_a_long_name_is_cut_and_keeps_which_output_of_how_many_it_is():
    long = [replace(OUTPUTS[0], loads="a name that is far too long for it", which=" (1 of 2)")]
    (name,) = turned(strip(long, PROBLEM.conditions))
    assert name == "H1  a name that is … (1 of 2)"


def test_brackets_of_a_name_are_not_taken_for_which_output_it_is():
    long = [replace(OUTPUTS[0], loads="reading lamp by the bunk (at the left side)", which="")]
    (name,) = turned(strip(long, PROBLEM.conditions))
    assert name.startswith("H1  reading lamp by the ")


def test_an_overloaded_output_is_drawn_in_full():
    over = [replace(OUTPUTS[0], current_a=(27.0, 0.0))]
    for narrow in (False, True):
        drawing = strip(over, PROBLEM.conditions, narrow=narrow)
        assert "200%" in drawing.words
        for part in (*parts(drawing, Outline), *parts(drawing, Line)):
            assert all(0.0 <= x <= drawing.width and 0.0 <= y <= drawing.height for x, y in part.points)


@pytest.mark.parametrize(("narrow", "width"), [(False, WIDE), (True, NARROW)])
def test_it_is_as_wide_as_asked(narrow, width):
    assert strip(OUTPUTS, PROBLEM.conditions, narrow=narrow).width == width


def test_the_key_names_every_condition():
    for narrow in (False, True):
        words = strip(OUTPUTS, PROBLEM.conditions, narrow=narrow).words
        assert words[-len(PROBLEM.conditions) - 2 :] == [*PROBLEM.conditions, "may be used", "full current"]


def test_a_file_has_every_unit_below_the_other():
    drawing = strips([("Unit one", OUTPUTS), ("Unit two", OUTPUTS)], PROBLEM.conditions)
    assert drawing.height == 2.0 * (strip(OUTPUTS, PROBLEM.conditions).height + TITLE)
    one, two = (next(w.at[1] for w in parts(drawing, Words) if w.text == f"Unit {name}") for name in ("one", "two"))
    assert two - one == drawing.height / 2.0
    assert drawing.words.count("H1  heater (1 of 2)") == 2


def test_a_site_that_is_too_hot_leaves_no_rating_and_is_drawn_all_the_same():
    hot = [replace(OUTPUTS[0], rating_a=0.0, allowed_a=0.0)]
    assert tall(parts(strip(hot, PROBLEM.conditions), Outline)[0]) == pytest.approx(1.0)
