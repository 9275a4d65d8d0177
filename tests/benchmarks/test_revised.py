from __future__ import annotations

from allocator import read_problem
from benchmarks.revised import table
from tests.explaining.test_why import NEARER


def test_each_number_of_moves_has_a_row_and_a_new_start_the_last():
    before = read_problem(NEARER)
    lines = list(table(before, before, [0, 2]))[2:]
    assert [line.split("|")[1].strip() for line in lines] == ["0", "2", "any", "free"]
    assert all(line.split("|")[2].strip() == "0" for line in lines)  # nothing has changed, nothing moves
    assert [line.split("|")[-2].strip() for line in lines] == ["optimal"] * 4
