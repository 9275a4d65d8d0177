from __future__ import annotations

from dataclasses import replace

from allocator.layout import HAND_MADE, INFEASIBLE, NOTHING_FOUND
from allocator.reporting.proof import gap_text, no_layout, proof, sentence
from allocator.reporting.text import plain
from tests.reporting.samples import LAYOUT, stopped


def test_a_proven_layout_says_what_is_proven_and_over_how_much():
    assert sentence(LAYOUT) == (
        "For these inputs no layout weighs less than 5,312.4 g in the objective: proven optimal over 2,310 "
        "options listed."
    )


def test_a_stopped_search_says_what_it_has_its_bound_and_gap():
    assert sentence(stopped()) == (
        "For these inputs the best layout found weighs 5,312.4 g in the objective; it is not proven to be "
        "the least, and none can weigh less than 5,000.0 g (gap 5.88 %) over 2,310 options listed."
    )


def test_a_stopped_search_without_a_bound_does_not_invent_one():
    assert "no bound is known" in sentence(stopped(bound_g=None, gap=None))


def test_no_layout_possible_is_said_to_be_proven():
    text = sentence(stopped(status=INFEASIBLE))
    assert text == "For these inputs no layout is possible: proven over 2,310 options listed."


def test_nothing_found_is_not_called_impossible():
    text = plain(no_layout(stopped(status=NOTHING_FOUND, objective_g=None, bound_g=None, gap=None)))
    assert "no layout was found before the search ended" in text
    assert "--time-limit" in text


def test_a_layout_made_by_hand_proves_nothing():
    assert sentence(replace(LAYOUT, status=HAND_MADE)).endswith("the layout was made by hand.")


def test_what_was_cut_short_stands_under_the_proof():
    cut = replace(LAYOUT, listed=(("options", 5), ("cut_short", ("share lamps: 200 sets",))))
    assert plain(proof(cut)).endswith("Not every option was tried: share lamps: 200 sets\n")


def test_a_small_gap_is_not_rounded_to_none():
    texts = [gap_text(gap) for gap in (0.0, 0.0123, 1e-6, None)]
    assert texts == ["0.00 %", "1.23 %", "1.0e-04 %", "unknown"]
