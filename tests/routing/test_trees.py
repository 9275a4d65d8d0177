from __future__ import annotations

from allocator.routing.trees import children, outward, stretches

EDGES = (("a", "b"), ("b", "c"), ("b", "d"), ("d", "e"))


def test_edges_turn_away_from_the_root_in_order_of_a_walk_by_names() -> None:
    assert outward("a", [("e", "d"), ("b", "d"), ("b", "a"), ("c", "b")]) == EDGES
    assert outward("d", EDGES) == (("d", "b"), ("b", "a"), ("b", "c"), ("d", "e"))
    assert outward("a", []) == ()


def test_every_place_knows_those_further_out() -> None:
    assert children("a", EDGES) == {"a": ["b"], "b": ["c", "d"], "c": [], "d": ["e"], "e": []}
    assert children("a", ()) == {"a": []}


def test_stretches_run_between_stops_and_branchings() -> None:
    assert stretches("a", EDGES, {"a", "c", "e"}) == (("a", "b"), ("b", "c"), ("b", "d", "e"))
    assert stretches("a", EDGES, {"a", "c", "d", "e"}) == (("a", "b"), ("b", "c"), ("b", "d"), ("d", "e"))


def test_a_stretch_does_not_run_on_from_the_end_of_another_branch() -> None:
    assert stretches("a", (("a", "b"), ("a", "c")), {"b", "c"}) == (("a", "b"), ("a", "c"))
