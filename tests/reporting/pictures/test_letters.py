from __future__ import annotations

import pytest
from matplotlib.textpath import TextPath

from allocator.reporting.pictures.letters import width_of


@pytest.mark.parametrize("text", ["front left corner", "WASH CABINET 12 V", "0123456789", "il.,:;!|()", "mmm www @%&"])
def test_widths_are_those_of_the_font_that_files_are_drawn_in(text):
    # DejaVu Sans as matplotlib brings it; it moves some pairs of letters closer together
    there = TextPath((0.0, 0.0), text, size=100.0).get_extents().width
    assert width_of(text, 100.0) == pytest.approx(there, rel=0.05, abs=20.0)


def test_letters_of_other_alphabets_have_a_width_too():
    assert width_of("電池", 10.0) == 20.0
    assert 5.0 < width_of("й", 10.0) < 8.0
    assert width_of("e\u0301", 10.0) == width_of("e", 10.0)
