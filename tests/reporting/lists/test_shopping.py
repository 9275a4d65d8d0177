from __future__ import annotations

from dataclasses import replace

import pytest

import allocator
from allocator.reporting.lists.cut_list import cut_m
from allocator.reporting.lists.shopping import to_buy
from tests.reporting.lists.samples import LAYOUT, PROBLEM, said


def items(problem):
    found = allocator.lists(problem, LAYOUT)["shopping"].query("kind == 'item'")
    return found[["what", "needed", "in hand", "to buy", "link"]].values.tolist()


@pytest.mark.parametrize(
    ("said", "missing"),
    [
        ("", 3),
        ("no", 3),
        ("-", 3),
        ("TBC", 3),
        ("0", 3),
        ("2", 1),
        ("5", 0),
        ("yes", 0),
        ("M 12", 0),
        ("shelf", 0),
        ("M 12; no", 3),
        ("0; no", 3),
    ],
)
def test_what_is_in_hand_is_told_by_a_number_a_word_or_where_it_lies(said, missing):
    assert to_buy(said, 3) == missing


@pytest.mark.parametrize(("length", "cut"), [(0.3, 0.3), (0.31, 0.35), (0.3000004, 0.3), (0.0, 0.0), (1.0000021, 1.05)])
def test_lengths_are_cut_in_whole_steps_upwards(length, cut):
    assert cut_m(length, 0.05) == cut


def test_items_that_are_in_hand_are_left_out_and_the_others_have_their_link():
    there = said(
        {
            "lamp": {"stock": "L 7", "Supplier page": "https://example.org/lamp"},
            "fan": {"stock": "", "Supplier page": "https://example.org/fan"},
            "torch": {"stock": "no"},
        }
    )
    found = {row[0]: row[1:] for row in items(there)}
    assert "lamp" not in found
    assert found["fan"] == [1, "", 1, "https://example.org/fan"]
    assert found["torch"] == [1, "no", 1, ""]


def test_without_such_a_column_every_item_is_listed():
    assert [row[2] for row in items(PROBLEM)] == ["not told"] * len(PROBLEM.loads)


def test_loads_of_one_item_are_counted_together():
    loads = tuple(replace(load, item="pair") if load.name in ("lamp", "torch") else load for load in PROBLEM.loads)
    there = replace(
        said({"lamp": {"stock": "1"}, "torch": {"stock": "1"}}),
        loads=tuple(replace(load, extra=(("stock", "1"),)) for load in loads),
    )
    assert items(there) == [["pair", 2, "1", 1, ""]]


def test_the_share_for_waste_is_said_beside_the_length():
    wire = allocator.lists(PROBLEM, LAYOUT, waste=0.25)["shopping"]
    wire = wire[wire["kind"].str.startswith("wire")]
    assert wire["note"].str.contains("with 25 % for waste").all()
    assert wire["note"].tolist()[-1] == "wake, with 25 % for waste; as one cable of 2 cores 3.5 m"
    assert (wire["buy [m]"] >= 1.25 * wire["cut [m]"] - 1e-6).all()
    assert (wire["buy [m]"] < 1.25 * wire["cut [m]"] + 0.1).all()
