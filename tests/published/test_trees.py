"""Shortest routes and trees against examples of the literature. All are given from memory; none was looked up."""

from __future__ import annotations

from itertools import combinations
from math import sqrt

import networkx as nx
import pytest

from allocator.routing import Network
from tests.routing.machines import at, joined, machine

ROUTE_FACTOR = 1.2
"""What `machine` multiplies straight lines by."""


def test_shortest_route_of_the_encyclopaedia_example() -> None:
    """Six numbered nodes; 1 to 5 is 20 by way of 3 and 6 (Wikipedia, "Dijkstra's algorithm", the animation)."""
    route = Network(
        joined(
            ("1", "2", 7),
            ("1", "3", 9),
            ("1", "6", 14),
            ("2", "3", 10),
            ("2", "4", 15),
            ("3", "4", 11),
            ("3", "6", 2),
            ("4", "5", 6),
            ("5", "6", 9),
        )
    ).shortest("1", "5")
    assert (route.places, route.length_m) == (("1", "3", "6", "5"), 20.0)


def test_an_equilateral_triangle_needs_the_root_of_three_by_way_of_its_middle() -> None:
    """Side 1: two sides make 2, the tree by way of the middle sqrt(3) (Gilbert and Pollak, SIAM J. 16, 1968)."""
    corners = [at("a", 0, 0), at("b", 1, 0), at("c", 0.5, sqrt(3) / 2)]
    middle = at("middle", 0.5, sqrt(3) / 6)
    assert length(Network(machine(corners)), "abc") == pytest.approx(2.0)
    assert length(Network(machine([*corners, middle])), "abc") == pytest.approx(sqrt(3))


def test_a_square_needs_one_plus_the_root_of_three_by_way_of_two_junctions() -> None:
    """Side 1: three sides make 3, the best tree 1 + sqrt(3) (Gilbert and Pollak, SIAM J. 16, 1968)."""
    corners = [at("a", 0, 0), at("b", 1, 0), at("c", 1, 1), at("d", 0, 1)]
    inset = 1 / (2 * sqrt(3))
    junctions = [at("left", inset, 0.5), at("right", 1 - inset, 0.5)]
    assert length(Network(machine(corners)), "abcd") == pytest.approx(3.0)
    tree = Network(machine([*corners, *junctions])).tree("a", "bcd")
    assert tree.length_m / ROUTE_FACTOR == pytest.approx(1 + sqrt(3))
    assert tree.edges == (("a", "left"), ("left", "d"), ("left", "right"), ("right", "b"), ("right", "c"))


def test_four_ends_of_a_cross_need_two_thirds_of_what_joins_them_pair_by_pair() -> None:
    """Along a square grid, 4 against 6: the worst there can be (Hwang, SIAM J. Appl. Math. 30, 1976)."""
    network = Network(joined(("n", "o", 1), ("e", "o", 1), ("s", "o", 1), ("w", "o", 1)))
    assert pair_by_pair(network, "nesw") == 6.0
    assert network.tree("n", "esw").length_m == 4.0


@pytest.mark.parametrize("count", [3, 5, 8])
def test_a_hub_shows_how_far_joining_pair_by_pair_can_be_from_the_best(count: int) -> None:
    """Spokes of 1 and all rim pairs 2 apart: *k* against 2 (k - 1) (Kou, Markowsky, Berman, Acta Inf. 15, 1981)."""
    rim = "abcdefgh"[:count]
    network = Network(joined(*((name, "hub", 1) for name in rim), *((a, b, 2) for a, b in combinations(rim, 2))))
    assert pair_by_pair(network, rim) == 2.0 * (count - 1)
    assert network.tree(rim[0], rim).length_m == count


def length(network: Network, ends: str) -> float:
    return network.tree(ends[0], ends).length_m / ROUTE_FACTOR


def pair_by_pair(network: Network, names: str) -> float:
    """Length of the shortest spanning tree over the distances between the places named."""
    graph: nx.Graph[str] = nx.Graph()
    graph.add_weighted_edges_from((a, b, network.shortest(a, b).length_m) for a, b in combinations(names, 2))
    return float(nx.minimum_spanning_tree(graph).size(weight="weight"))
