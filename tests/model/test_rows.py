"""The rows of each family on a tiny problem are the ones written down, and rows read as they should."""

from __future__ import annotations

import pytest

from allocator.model.constraints import CONSTRAINTS
from allocator.model.rows import Row, Variable, at_least, at_most, equal
from tests.model.golden import ROWS, text_of

A, B = Variable(0, "a"), Variable(1, "b")


def test_every_family_has_its_rows_written_down() -> None:
    assert {path.stem for path in ROWS.iterdir()} == {*CONSTRAINTS}


@pytest.mark.parametrize("family", CONSTRAINTS)
def test_a_family_gives_the_rows_written_down(family: str) -> None:
    written = (ROWS / f"{family}.txt").read_text(encoding="utf-8")
    assert text_of(family) == written


@pytest.mark.parametrize("family", CONSTRAINTS)
def test_what_is_written_down_holds_a_row(family: str) -> None:
    written = (ROWS / f"{family}.txt").read_text(encoding="utf-8")
    assert any(sense in written.split("\n\n")[-1] for sense in (" <= ", " >= ", " = "))


@pytest.mark.parametrize(
    ("row", "text"),
    [
        (at_most("r", [(B, 2.0), (A, 1.0)], 3), "r: a + 2 b <= 3"),
        (at_least("r", [(A, -1.0), (B, -2.5)], 0), "r: - a - 2.5 b >= 0"),
        (equal("r", [(A, 1.0), (A, 2.0)], 1), "r: 3 a = 1"),
        (equal("r", [(A, 1.0), (A, -1.0), (B, 1.0)], 1), "r: b = 1"),
        (at_most("r", [], 1), "r: 0 <= 1"),
    ],
)
def test_a_row_adds_up_its_terms_in_the_order_of_the_columns(row: Row, text: str) -> None:
    assert str(row) == text
