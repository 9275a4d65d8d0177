"""Whatever stands in a cell, in a setting or in a file: a problem, or an error that says what is wrong."""

from __future__ import annotations

import re
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st

from allocator.problem import Problem, ProblemError
from allocator.reading import read_problem
from tests.reading.folders import FILES, SETTINGS, written

TABLES = [name for name in FILES if name.endswith(".csv")]
VALUES = list(re.finditer(r'= ("[^"]*"|\[[^\n]*\]|[\w.]+)', SETTINGS))
ODD_SETTINGS = st.one_of(
    st.sampled_from(
        [
            "3",
            '"x"',
            "[]",
            "{}",
            "[[]]",
            "[1, 2]",
            '["a", "a"]',
            '[["1 A"]]',
            "true",
            "nan",
            "-inf",
            "1e400",
            "1979-05-27",
            '"0 A"',
            '"-1 V"',
            '""',
            "[{}]",
            "{a = 1}",
            '{"" = 1}',
            '"200 %"',
            "[{name = 3}]",
            "[true]",
            '"\\u0000"',
            '"a;b"',
            '"\\n"',
            "0b1",
            "[[{}]]",
            '{name = "x"}',
            '["", ""]',
        ]
    ),
    st.text(max_size=12),
)


def outcome(**changed: str | bytes) -> Problem | ProblemError:
    with TemporaryDirectory() as folder:
        try:
            return read_problem(written(Path(folder), **changed))
        except ProblemError as error:
            assert error.mistakes
            assert all(mistake.wrong and mistake.remedy for mistake in error.mistakes)
            assert str(error)
            return error


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(TABLES), st.data())
def test_any_text_in_a_cell(table: str, data: st.DataObject) -> None:
    lines = FILES[table].splitlines()
    row = data.draw(st.integers(0, len(lines) - 1))
    cells = lines[row].split(",")
    place = data.draw(st.integers(0, len(cells) - 1))
    cells[place] = data.draw(st.one_of(st.text(max_size=15), st.from_regex(r"[-+0-9.,e]{1,6} ?[A-Za-z%]{0,4}")))
    lines[row] = ",".join(cells)
    outcome(**{table.split(".")[0]: "\n".join(lines).encode("utf-8", "surrogatepass")})


@settings(max_examples=150, deadline=None)
@given(st.integers(0, len(VALUES) - 1), ODD_SETTINGS)
def test_any_value_in_the_settings(number: int, value: str) -> None:
    spot = VALUES[number]
    text = SETTINGS[: spot.start(1)] + value + SETTINGS[spot.end(1) :]
    outcome(problem=text.encode("utf-8", "surrogatepass"))


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(sorted(FILES)), st.binary(max_size=60))
def test_any_bytes_in_a_file(file: str, content: bytes) -> None:
    outcome(**{file.split(".")[0]: content})
