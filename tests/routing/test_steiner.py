from __future__ import annotations

import os
import subprocess
import sys
from itertools import chain, combinations, pairwise

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from allocator.problem import Place, Problem, Segment
from allocator.routing import Network, RouteError, Tree
from allocator.routing.steiner import EXACT_ENDS
from tests.routing.machines import at, joined, machine, machines, placed_machines


def best_of_all_edge_sets(problem: Problem, wanted: set[str]) -> tuple[int, int]:
    """Least (decimetres, segments) of all sets of segments that join the places."""
    found = []
    for count in range(len(problem.place)):
        for chosen in combinations(problem.segments, count):
            graph = nx.Graph((s.start, s.end) for s in chosen)
            graph.add_nodes_from(wanted)
            if wanted <= nx.node_connected_component(graph, min(wanted)):
                found.append((sum(round(s.length_m * 10) for s in chosen), count))
    return min(found)


def joins(tree: Tree) -> bool:
    """Whether the edges are a tree, point away from the root, and end nowhere but at the ends."""
    graph = nx.DiGraph(tree.edges)
    graph.add_node(tree.root)
    leaves = {node for node, degree in graph.out_degree() if degree == 0}
    return (
        nx.is_arborescence(graph)
        and graph.in_degree(tree.root) == 0
        and (leaves <= {tree.root, *tree.ends} <= set(graph))
    )


@given(machines(most_segments=9), st.data())
def test_the_tree_is_the_shortest_of_all_sets_of_segments(problem: Problem, data: st.DataObject) -> None:
    names = sorted(problem.place)
    root = data.draw(st.sampled_from(names))
    ends = data.draw(st.lists(st.sampled_from(names), min_size=1, max_size=5))
    best = best_of_all_edge_sets(problem, {root, *ends})
    tree = Network(problem).tree(root, ends)
    assert joins(tree)
    assert tree.length_m == pytest.approx(best[0] / 10, rel=1e-12)
    assert len(tree.edges) == best[1]


@given(placed_machines(), st.data())
def test_without_segments_the_tree_is_the_shortest_with_any_places_as_junctions(
    problem: Problem, data: st.DataObject
) -> None:
    names = sorted(problem.place)
    root = data.draw(st.sampled_from(names))
    ends = data.draw(st.lists(st.sampled_from(names), min_size=1, max_size=4))
    network = Network(problem)
    others = sorted(set(names) - {root, *ends})
    best = min(
        nx.minimum_spanning_tree(complete(network, {root, *ends, *junctions})).size(weight="weight")
        for junctions in chain.from_iterable(combinations(others, n) for n in range(len(others) + 1))
    )
    tree = network.tree(root, ends)
    assert joins(tree)
    assert tree.length_m == pytest.approx(best, abs=1e-8)


def complete(network: Network, names: set[str]) -> nx.Graph[str]:
    graph: nx.Graph[str] = nx.Graph()
    graph.add_nodes_from(names)
    graph.add_weighted_edges_from((a, b, network.shortest(a, b).length_m) for a, b in combinations(names, 2))
    return graph


@given(machines(most_segments=9), st.data())
def test_what_was_asked_before_and_the_order_of_tables_and_ends_change_no_tree(
    problem: Problem, data: st.DataObject
) -> None:
    network = Network(problem)
    ends = data.draw(st.permutations(sorted(problem.place)))
    for root in ends:
        network.tree(root, ends[:2])
    turned = Network(machine(problem.places[::-1], problem.segments[::-1]))
    assert network.tree("p0", ends).edges == turned.tree("p0", ends[::-1]).edges


def test_a_tree_branches_on_the_way() -> None:
    fork = joined(("a", "m", 2.0), ("m", "b", 1.0), ("m", "c", 1.0), ("a", "c", 2.9))
    tree = Network(fork).tree("a", ["b", "c"])
    assert tree.edges == (("a", "m"), ("m", "b"), ("m", "c"))
    assert tree.pieces == tree.edges
    assert tree.length_m == 4.0


def test_a_tree_says_what_it_passes() -> None:
    problem = machine(
        [Place(name="a"), Place(name="m", ambient_c=120.0), Place(name="b", ambient_c=60.0)],
        [
            Segment(start="m", end="a", length_m=1.0, bulkhead="wall", ambient_c=80.0),
            Segment(start="m", end="b", length_m=1.0, bulkhead="wall", insulation_c=125.0),
        ],
    )
    tree = Network(problem).tree("a", ["b"])
    assert (tree.ambient_c, tree.insulation_c, tree.bulkheads) == (80.0, 125.0, ("wall", "wall"))
    assert tree.pieces == (("a", "m", "b"),)
    assert Network(problem).tree("a", ["m"]).ambient_c == 120.0


@pytest.mark.parametrize("ends", [[], ["a"], ["a", "a"]])
def test_a_tree_to_its_own_root_alone_has_no_length(ends: list[str]) -> None:
    tree = Network(joined(("a", "b", 1.0), a=70.0)).tree("a", ends)
    assert (tree.edges, tree.length_m, tree.ambient_c, tree.pieces) == ((), 0.0, 70.0, ())


def wheel(spokes: int) -> Problem:
    """A hub one metre from every rim place, and rim places 1.9 m from their neighbours."""
    rim = [f"r{n:02}" for n in range(spokes)]
    return joined(*((name, "hub", 1.0) for name in rim), *((a, b, 1.9) for a, b in pairwise(rim)))


def test_up_to_the_stated_number_of_ends_the_tree_is_exact() -> None:
    problem = wheel(EXACT_ENDS + 1)
    network = Network(problem)
    tree = network.tree("r00", [f"r{n:02}" for n in range(1, EXACT_ENDS + 1)])
    assert tree.length_m == EXACT_ENDS + 1
    assert tree.exact


def test_beyond_the_stated_number_of_ends_the_tree_is_near_and_says_so() -> None:
    network = Network(wheel(EXACT_ENDS + 2))
    tree = network.tree("r00", [f"r{n:02}" for n in range(EXACT_ENDS + 2)])
    assert joins(tree)
    assert tree.length_m <= 2 * (EXACT_ENDS + 2)
    assert not tree.exact


def test_an_approximation_is_the_same_in_every_process() -> None:
    code = (
        "from tests.routing.machines import joined; from allocator.routing import Network\n"
        "grid = [(f'{x}{y}', f'{x + dx}{y + dy}', 1.0) for x in range(5) for y in range(5)"
        " for dx, dy in ((0, 1), (1, 0)) if x + dx < 5 and y + dy < 5]\n"
        "print(Network(joined(*grid)).tree('22', [f'{x}{y}' for x in range(5) for y in range(0, 5, 2)]).edges)"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            check=True,
            capture_output=True,
            text=True,
        ).stdout
        for seed in "123"
    }
    assert len(said) == 1


def test_lengths_beyond_any_machine_are_refused() -> None:
    with pytest.raises(RouteError) as caught:
        Network(joined(("a", "b", 1e6))).tree("a", ["b"])
    assert str(caught.value) == "Segments add up to more than 100 km. Check the units of their lengths."


def test_places_on_a_line_make_no_stops_of_each_other() -> None:
    line = [at("a", 0, 0), at("b", 1 / 3, 0), at("c", 0.7, 0), at("d", 1.1, 0)]
    network = Network(machine(line))
    assert network.tree("a", ["d"]).edges == (("a", "d"),)
    assert network.tree("a", ["c", "d"]).edges == (("a", "c"), ("c", "d"))
