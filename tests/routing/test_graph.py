from __future__ import annotations

import pytest

from allocator.problem import Line, Place, Segment
from allocator.routing.graph import build_graph
from tests.routing.machines import at, joined, machine


def test_a_segment_links_its_places_both_ways() -> None:
    graph = build_graph(joined(("a", "b", 1.5)))
    assert graph.links["a"]["b"] is graph.links["b"]["a"]
    assert graph.links["a"]["b"].length_m == 1.5
    assert graph.links["a"]["b"].segment == 0


def test_a_segment_that_gives_no_ambient_has_that_of_the_system() -> None:
    segment = Segment(start="a", end="b", length_m=1.0)
    graph = build_graph(machine([Place(name="a"), Place(name="b")], [segment], ambient_c=55.0))
    assert graph.links["a"]["b"].ambient_c == 55.0


def test_a_graph_open_to_a_line_has_no_link_that_is_for_the_other_only() -> None:
    segments = [
        Segment(start="a", end="b", length_m=1.0, only=Line.WIRE),
        Segment(start="b", end="c", length_m=1.0, only=Line.CABLE),
        Segment(start="a", end="c", length_m=1.0),
    ]
    graph = build_graph(machine([Place(name=name) for name in "abc"], segments))
    opened = {line: {name: sorted(row) for name, row in graph.open_to(line).links.items()} for line in Line}
    assert opened == {
        Line.WIRE: {"a": ["b", "c"], "b": ["a"], "c": ["a"]},
        Line.CABLE: {"a": ["c"], "b": ["c"], "c": ["a", "b"]},
    }
    assert sorted(graph.links["b"]) == ["a", "c"]
    assert not graph.open_to(Line.WIRE).direct
    assert build_graph(machine([at("a", 0, 0), at("b", 3, 4)])).open_to(Line.WIRE).direct


def test_lengths_add_up_alike_in_every_order() -> None:
    graph = build_graph(joined(("a", "b", 0.1), ("b", "c", 0.2), ("a", "c", 0.3)))
    here = {pair: graph.links[pair[0]][pair[1]].length_nm for pair in ("ab", "bc", "ac")}
    assert here["ab"] + here["bc"] == here["ac"]


def test_without_segments_every_placed_pair_has_a_straight_link() -> None:
    graph = build_graph(machine([at("a", 0, 0), at("b", 3, 4), at("c", 0, 0, 2), Place(name="nowhere")]))
    assert graph.direct
    assert graph.links["a"]["b"].length_m == pytest.approx(5.0 * 1.2)
    assert graph.links["a"]["c"].length_m == pytest.approx(2.0 * 1.2)
    assert graph.links["nowhere"] == {}


def test_with_segments_coordinates_make_no_links() -> None:
    graph = build_graph(
        machine(
            [at("a", 0, 0), at("b", 1, 0), at("c", 2, 0)],
            [Segment(start="a", end="b", length_m=1.0), Segment(start="b", end="c", length_m=1.0)],
        )
    )
    assert graph.links["c"].keys() == {"b"}
