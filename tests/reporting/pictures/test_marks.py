from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from allocator.reporting.pictures.marks import HUES, Marks, over, shades
from tests.reporting.samples import LAYOUT, PROBLEM


def luminance(hue: str) -> float:
    """Relative luminance (WCAG 2.2, definition)."""
    parts = [int(hue[n : n + 2], 16) / 255.0 for n in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a: str, b: str) -> float:
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_a_load_carries_the_mark_of_what_feeds_it():
    marks = Marks(PROBLEM, LAYOUT)
    assert marks.of_load("heater") == marks.of_unit("front")
    assert marks.of_load("radio")[0] == "D"
    assert Marks(PROBLEM, replace(LAYOUT, circuits=())).of_load("heater")[0] == "?"


def test_units_differ_by_their_mark_and_not_by_colour_alone():
    marks = Marks(PROBLEM, LAYOUT)
    assert len({marks.of_unit(unit.name)[0] for unit in PROBLEM.units}) == len(PROBLEM.units)


def test_marks_can_be_read_on_their_colour():
    # WCAG 2.2, 1.4.3: 4.5 for text, 3 for large bold text; marks are bold and have a black rim
    assert min(contrast(hue, over(hue)) for hue in HUES) >= 3.0


def test_shades_differ_in_lightness():
    found = [luminance(shade) for shade in shades(["a", "b", "c", "d", "e"])]
    assert found == sorted(found, reverse=True)
    assert min(a / b for a, b in pairwise(found)) > 1.3
    assert shades(["only"]) == ["#b9d3e6"]
