from __future__ import annotations

from itertools import combinations
from math import hypot

import pytest

from allocator.reporting.pictures.drawing import Drawing, Line, Words
from allocator.reporting.pictures.labelling import DISTANCES, Text, label
from tests.reporting.pictures.shown import parts

SIZE = 400.0


def written(texts, taken=(), lines=(), kept=()):
    """Names with their boxes (left, top, right, bottom), in the order of the texts."""
    drawing = Drawing(SIZE, SIZE)
    boxes = label(drawing, texts, taken, lines, 9.0, kept)
    return dict(zip(drawing.words, boxes, strict=True))


def overlap(a, b):
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def test_names_of_close_points_do_not_overlap():
    points = [Text(200.0 + 14.0 * n, 200.0, f"place {n}", italic=n % 2 == 1) for n in range(6)]
    boxes = written(points)
    assert len(boxes) == 6
    assert not any(overlap(a, b) for a, b in combinations(boxes.values(), 2))


def test_slanting_names_are_set_after_all_others():
    assert [*written([Text(200.0, 200.0, "wall", italic=True), Text(210.0, 200.0, "place")])] == ["place", "wall"]


def test_a_name_hides_no_disc():
    (box,) = written([Text(200.0, 200.0, "place")], [(200.0, 200.0, 30.0), (230.0, 200.0, 30.0)]).values()
    for x in (200.0, 230.0):
        assert hypot(x - min(max(x, box[0]), box[2]), 200.0 - min(max(200.0, box[1]), box[3])) >= 15.0


def test_a_name_lies_on_no_line_and_on_nothing_that_is_kept_clear():
    lines = [((0.0, 200.0), (SIZE, 200.0), 10.0)]
    kept = [(0.0, 0.0, SIZE, 190.0)]
    (box,) = written([Text(200.0, 200.0, "place")], lines=lines, kept=kept).values()
    assert box[1] >= 205.0


@pytest.mark.parametrize("point", [(2.0, 2.0), (398.0, 2.0), (2.0, 398.0), (398.0, 398.0)])
def test_a_name_stays_on_the_paper(point):
    (box,) = written([Text(*point, "a place with a long name")]).values()
    assert min(box) >= 0.0
    assert max(box) <= SIZE


def test_a_name_that_is_not_close_by_has_a_line_to_what_it_names():
    drawing = Drawing(SIZE, SIZE)
    (near,) = label(drawing, [Text(200.0, 200.0, "near")], [], [], 9.0)
    assert not parts(drawing, Line)
    crowd = [(200.0, 200.0, 60.0)]
    (far,) = label(drawing, [Text(200.0, 200.0, "far")], crowd, [], 9.0, [near])
    (line,) = parts(drawing, Line)
    assert line.points[1] == (200.0, 200.0)
    x, y = line.points[0]
    assert far[0] <= x <= far[2] and far[1] <= y <= far[3]
    assert hypot(x - 200.0, y - 200.0) > DISTANCES[0]


def test_more_names_than_there_is_room_for_are_all_written():
    texts = [Text(200.0 + n, 200.0, f"a place with a long name {n}") for n in range(80)]
    assert len(written(texts)) == 80


def test_the_same_names_always_stand_in_the_same_places():
    texts = [Text(200.0 + 9.0 * n, 180.0, f"place {n}") for n in range(5)]
    assert written(texts) == written(texts)


def test_a_long_name_is_cut():
    drawing = Drawing(SIZE, SIZE)
    label(drawing, [Text(200.0, 200.0, "x" * 60)], [], [], 9.0)
    (words,) = parts(drawing, Words)
    assert words.text == "x" * 31 + "…"
