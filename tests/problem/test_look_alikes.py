"""Names that people take for one another are warned of, and both stand."""

from __future__ import annotations

import pytest

from allocator.problem.look_alikes import look_of
from allocator.reading import read_problem
from tests.cli.running import allocator
from tests.reading.folders import LOADS, written

MORE = "{},bench,1 A,,,,,,,,,,,1,1,\n"
SAYS = "loads 'pump' and '{}' look alike: they are treated as two names; if only one is meant, rename the other"


# the letters of other alphabets are rows of the table of confusables of Unicode Technical Standard 39
@pytest.mark.parametrize("name", ["Pump", "pu mp", "рump", "pumр", "ｐump", "PUMP", "pu\u2010mp"])
def test_a_name_that_looks_like_another_is_warned_of_and_kept_among_the_assumptions(tmp_path, name):
    folder = written(tmp_path, loads=LOADS + MORE.format(name))
    assert SAYS.format(name) in read_problem(folder).defaults
    (tmp_path / "layout.json").write_text('{"format": "allocator-layout/1"}')
    result = allocator("check", folder, tmp_path / "layout.json")
    assert result.code == 1
    assert f"warning: {SAYS.format(name)}" in result.err


@pytest.mark.parametrize(("one", "other"), [("lamp 1", "lamp l"), ("pump О", "pump 0"), ("a‑b", "a b"), ("ΑΒ", "AB")])
def test_these_look_alike(one, other):
    assert look_of(one) == look_of(other)


@pytest.mark.parametrize(("one", "other"), [("lamp 1", "lamp 2"), ("lamp 1", "lamp 11"), ("port", "part"), ("é", "e")])
def test_these_do_not(one, other):
    assert look_of(one) != look_of(other)


def test_names_that_differ_plainly_are_not_warned_of(tmp_path):
    assert not [text for text in read_problem(written(tmp_path)).defaults if "look alike" in text]
