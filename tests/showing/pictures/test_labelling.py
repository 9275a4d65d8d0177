from __future__ import annotations

from itertools import combinations

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from allocator.showing.pictures.labelling import Text, label

SIZE = 400.0


def written(texts, taken=(), lines=()):
    figure = Figure(figsize=(SIZE / 72.0, SIZE / 72.0), dpi=72)
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set(xlim=(0.0, SIZE), ylim=(0.0, SIZE))
    label(axes, texts, taken, lines, 9.0)
    return {text.get_text(): text.get_window_extent() for text in axes.texts}


def test_names_of_close_points_do_not_overlap():
    points = [Text(200.0 + 14.0 * n, 200.0, f"place {n}", italic=n % 2 == 1) for n in range(6)]
    boxes = written(points)
    assert len(boxes) == 6
    assert not any(a.overlaps(b) for a, b in combinations(boxes.values(), 2))


def test_a_name_hides_no_disc():
    (box,) = written([Text(200.0, 200.0, "place")], [(200.0, 200.0, 30.0), (230.0, 200.0, 30.0)]).values()
    for x in (200.0, 230.0):
        assert not (box.x0 < x < box.x1 and box.y0 < 200.0 < box.y1)


def test_the_same_names_always_stand_in_the_same_places():
    texts = [Text(200.0 + 9.0 * n, 180.0, f"place {n}") for n in range(5)]
    first, again = written(texts), written(texts)
    assert [box.bounds for box in first.values()] == [box.bounds for box in again.values()]
