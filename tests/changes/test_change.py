from __future__ import annotations

from dataclasses import replace

from allocator.changes.change import in_words
from allocator.changes.of_loads import survive
from allocator.changes.of_units import sealed, unit_rating
from allocator.problem import Function
from tests.problem.samples import unit_type

LIGHT = Function(name="light", loads=("lamp", "spare lamp"), survive=2, against=("unit",))


def test_what_is_said_of_one_unit_type_is_said_in_one_sentence():
    box = unit_type(name="box")
    text = in_words((unit_rating(box, 50.0), survive(LIGHT, 1), unit_rating(box, 60.0)))
    assert text.count("Use a unit type like 'box'") == 1
    assert "that carries 50 A in all" in text
    assert " and that carries 60 A in all" in text
    assert text.endswith("; and let 1 of 'light' be enough after a failure, not 2.")


def test_a_name_that_looks_like_a_sentence_keeps_its_own():
    box = replace(unit_type(name="box"), name="box' that is 'large")
    small = replace(unit_type(name="box"), name="box")
    text = in_words((unit_rating(box, 50.0), unit_rating(small, 60.0)))
    assert text.startswith("Use a unit type like 'box' that is 'large' that carries 50 A in all")
    assert "; and use a unit type like 'box' that carries 60 A in all" in text


def test_a_change_of_another_kind_begins_its_own_sentence():
    box = unit_type(name="box")
    text = in_words((unit_rating(box, 50.0), sealed(box)))
    assert text.endswith("; and use a sealed unit type like 'box', which may sit where it is wet.")
