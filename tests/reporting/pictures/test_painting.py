from __future__ import annotations

from io import StringIO

import pytest

from allocator.reporting.pictures.drawing import Disc, Drawing, Line, Outline, Words, box
from allocator.reporting.pictures.painting import figure_of


def drawing():
    found = Drawing(200.0, 100.0)
    found.add(Line(((0.0, 0.0), (10.0, 20.0)), "#111111", 2.0, (4.0, 1.5), "round"), 1.0, "line")
    found.add(Disc((5.0, 6.0), 3.0, "#222222", "#333333", 1.0))
    found.add(Outline(box(0.0, 0.0, 4.0, 5.0), "#444444", "#555555", 0.5))
    found.add(Words((1.0, 2.0), "$a$", 9.0, "#000000", "end"))
    return found


def test_a_figure_is_of_the_size_of_the_drawing_and_holds_every_part():
    figure = figure_of(drawing())
    assert tuple(figure.get_size_inches() * 72.0) == pytest.approx((200.0, 100.0))
    (axes,) = figure.axes
    assert (len(axes.lines), len(axes.patches), len(axes.texts)) == (1, 2, 1)
    assert axes.lines[0].get_gid() == "line"


def test_a_point_of_the_drawing_is_that_point_of_the_figure():
    (axes,) = figure_of(drawing()).axes
    assert axes.transData.transform((10.0, 20.0)).tolist() == pytest.approx([10.0, 80.0])


def test_dashes_are_as_long_as_the_drawing_says():
    stream = StringIO()
    figure_of(drawing()).savefig(stream, format="svg")
    assert "stroke-dasharray: 4,1.5;" in stream.getvalue()
