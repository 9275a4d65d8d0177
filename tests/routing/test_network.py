from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace

import networkx as nx
import pytest
from hypothesis import given, settings

from allocator.problem import Line, Place, Problem, Segment
from allocator.routing import Network, Route, RouteError
from tests.routing.machines import all_open, at, joined, machine, machines, torn

SQUARE = joined(("a", "b", 0.1), ("b", "d", 0.2), ("a", "c", 0.2), ("c", "d", 0.1), ("a", "d", 0.3), ("d", "e", 1.0))


@given(machines())
def test_the_shortest_route_is_as_long_as_networkx_finds_it(problem: Problem) -> None:
    graph: nx.Graph[str] = nx.Graph()
    for segment in problem.segments:
        graph.add_edge(segment.start, segment.end, weight=round(segment.length_m * 10))
    lengths = dict(nx.all_pairs_dijkstra_path_length(graph))
    network = Network(problem)
    for start in problem.place:
        for end in problem.place:
            paths = nx.all_shortest_paths(graph, start, end, weight="weight")
            route = network.shortest(start, end)
            assert route.places == min(tuple(path) for path in paths)
            assert route.length_m == pytest.approx(lengths[start][end] / 10, rel=1e-12)


@settings(deadline=None)
@given(machines())
def test_the_order_of_the_tables_changes_no_route(problem: Problem) -> None:
    count = len(problem.segments)
    turned = replace(
        problem,
        places=problem.places[::-1],
        segments=tuple(replace(s, start=s.end, end=s.start) for s in reversed(problem.segments)),
    )
    network, other_way = Network(problem), Network(turned)
    for start in problem.place:
        for end in problem.place:
            for around in (frozenset[int](), frozenset({0, 2}), frozenset(range(count))):
                one = network.routes(start, end, around=around)
                other = other_way.routes(start, end, around=frozenset(count - 1 - n for n in around))
                assert [(r.places, r.length_m) for r in one] == [(r.places, r.length_m) for r in other]


@settings(deadline=None)
@given(machines(closed=True))
def test_a_segment_that_is_for_the_other_line_only_is_as_good_as_none(problem: Problem) -> None:
    problem = with_studs(problem, "p0", "p1")
    network = Network(problem)
    ends = sorted(problem.place)[:3]
    for line in Line:
        bare = Network(all_open(problem, line))
        for start in problem.place:
            assert answer(network.stud_of, start, line) == answer(bare.stud_of, start)
            for end in problem.place:
                assert places(network, start, end, line) == places(bare, start, end)
        if line is Line.WIRE:
            assert answer(network.tree, "p0", ends) == answer(bare.tree, "p0", ends)


def places(network: Network, *asked: str) -> object:
    route = answer(network.shortest, *asked)
    return route.places if isinstance(route, Route) else route


def answer(ask: Callable[..., object], *asked: object) -> object:
    """What a network answers, or that there is no such way."""
    try:
        return ask(*asked)
    except RouteError:
        return "no such way"


def test_equal_lengths_tie_by_place_names_although_the_floats_differ() -> None:
    assert 0.1 + 0.2 != 0.3
    assert Network(SQUARE).shortest("a", "d").places == ("a", "b", "d")


def test_a_place_to_itself_is_a_route_of_no_length_with_the_ambient_of_the_place() -> None:
    (route,) = Network(joined(("a", "b", 1.0), a=70.0)).routes("a", "a")
    assert (route.places, route.length_m, route.ambient_c, route.segments) == (("a",), 0.0, 70.0, ())


def test_a_route_is_as_hot_as_its_hottest_segment_or_end_place_but_not_as_a_place_passed() -> None:
    network = Network(joined(("a", "b", 1.0), ("b", "c", 1.0), b=90.0, c=60.0))
    assert network.shortest("a", "c").ambient_c == 60.0
    assert network.shortest("a", "b").ambient_c == 90.0


def test_follow_sums_up_the_segments_between_the_places_named() -> None:
    problem = machine(
        [Place(name=n) for n in "abc"],
        [
            Segment(start="a", end="b", length_m=1.0, bulkhead="wall", insulation_c=125.0),
            Segment(start="c", end="b", length_m=0.5, ambient_c=80.0),
        ],
    )
    route = Network(problem).follow(["a", "b", "c"])
    assert (route.length_m, route.ambient_c, route.insulation_c) == (1.5, 80.0, 125.0)
    assert (route.bulkheads, route.segments) == (("wall",), (0, 1))


@pytest.mark.parametrize(
    ("places", "text"),
    [
        ("ae", "No segment joins 'a' and 'e'. Name every place between, or add the segment."),
        ("aab", "No segment joins 'a' and 'a'. Name every place between, or add the segment."),
        ("ax", "'x' is not a place of this problem. Correct the name, or add it."),
        ("", "A route without places. Name at least one."),
    ],
)
def test_follow_says_what_is_wrong_with_places_that_are_no_route(places: str, text: str) -> None:
    with pytest.raises(RouteError) as caught:
        Network(SQUARE).follow(tuple(places))
    assert str(caught.value) == text


def test_an_unknown_place_is_refused_everywhere() -> None:
    network = Network(SQUARE)
    text = "'x' is not a place of this problem. Correct the name, or add it."
    for ask in (
        lambda: network.routes("a", "x"),
        lambda: network.shortest("x", "a"),
        lambda: network.tree("a", ["x"]),
        lambda: network.stud_of("x"),
    ):
        with pytest.raises(RouteError) as caught:
            ask()
        assert str(caught.value) == text


def test_networks_in_two_pieces_say_what_is_missing() -> None:
    network = Network(torn(joined(("a", "b", 1.0), ("b", "c", 1.0), ("c", "d", 1.0)), 1))
    assert network.routes("a", "d") == ()
    with pytest.raises(RouteError) as caught:
        network.shortest("a", "d")
    assert str(caught.value) == (
        "No route from 'a' to 'd': no chain of segments joins them. Add the segment that is missing."
    )
    with pytest.raises(RouteError, match="No route from 'a' to 'c'"):
        network.tree("a", ["b", "c"])


def test_a_place_off_the_network_is_named() -> None:
    with pytest.raises(RouteError) as caught:
        Network(torn(joined(("a", "b", 1.0), ("b", "c", 1.0)), 1)).shortest("a", "c")
    assert str(caught.value) == "No route from 'a' to 'c': no segment ends at 'c'. Add one."


def closed_to_wires(*closed: int) -> Problem:
    """A line from a to f whose segments, those of these numbers, are for cables only."""
    line = joined(*((a, b, 1.0) for a, b in ("ab", "bc", "cd", "de", "ef")))
    only = dict.fromkeys(closed, Line.CABLE)
    return replace(line, segments=tuple(replace(s, only=only.get(n)) for n, s in enumerate(line.segments)))


@pytest.mark.parametrize(
    ("closed", "named"),
    [
        ((2,), "'c - d'"),
        ((3, 1), "'b - c', 'd - e'"),
        ((0, 1, 2, 3, 4), "'a - b', 'b - c', 'c - d' and 2 more"),
    ],
)
def test_where_the_only_ways_are_for_cables_it_is_told_of_wires(closed: tuple[int, ...], named: str) -> None:
    network = Network(closed_to_wires(*closed))
    text = (
        f"No route from 'a' to 'f': the shortest way passes {named}, for cables only, and no other way is open to "
        "wires. Let wires pass there, or add a segment that is open to them."
    )
    assert network.routes("a", "f") == ()
    for ask in (lambda: network.shortest("a", "f"), lambda: network.tree("a", ["f"])):
        with pytest.raises(RouteError) as caught:
            ask()
        assert str(caught.value) == text
    assert network.shortest("a", "f", Line.CABLE).length_m == 5.0


def test_where_the_only_ways_are_for_wires_it_is_told_of_cables() -> None:
    stretch = joined(("a", "b", 1.0))
    one = replace(stretch.segments[0], only=Line.WIRE)
    network = Network(with_studs(replace(stretch, segments=(one,)), "b"))
    assert network.stud_of("a") == "b"
    for ask in (lambda: network.shortest("a", "b", Line.CABLE), lambda: network.stud_of("a", Line.CABLE)):
        with pytest.raises(RouteError) as caught:
            ask()
        assert str(caught.value) == (
            "No route from 'a' to 'b': the shortest way passes 'a - b', for wires only, and no other way is open to "
            "cables. Let cables pass there, or add a segment that is open to them."
        )


def test_a_network_in_pieces_says_so_to_either_line() -> None:
    network = Network(torn(closed_to_wires(0), 2))
    for line in Line:
        with pytest.raises(RouteError, match="no chain of segments joins them"):
            network.shortest("a", "f", line)


def test_a_route_may_be_followed_anywhere_and_what_is_forbidden_on_it_is_named() -> None:
    network = Network(closed_to_wires(1, 3))
    route = network.follow("fedcba")
    assert route.segments == (4, 3, 2, 1, 0)
    assert network.forbidden(route, Line.WIRE) == (3, 1)
    assert network.forbidden(route, Line.CABLE) == ()
    assert network.forbidden(network.follow("a"), Line.WIRE) == ()


class TestWithoutSegments:
    PROBLEM = machine([at("a", 0, 0), at("b", 3, 4, ambient_c=70.0), at("c", 6, 8), Place(name="lost")])

    def test_routes_are_straight_lines_times_the_route_factor(self) -> None:
        (route,) = Network(self.PROBLEM).routes("a", "b")
        assert route.places == ("a", "b")
        assert route.length_m == pytest.approx(6.0)
        assert (route.ambient_c, route.segments, route.bulkheads) == (70.0, (), ())

    def test_a_straight_route_passes_no_third_place_even_on_the_line(self) -> None:
        network = Network(self.PROBLEM)
        assert network.shortest("a", "c").places == ("a", "c")
        assert network.shortest("a", "c").ambient_c == 40.0
        assert network.tree("a", ["c"]).edges == (("a", "c"),)

    def test_wires_and_cables_go_alike_and_there_is_nothing_to_go_round(self) -> None:
        network = Network(self.PROBLEM)
        for line in Line:
            (route,) = network.routes("a", "b", line, frozenset({0}))
            assert route == network.shortest("a", "b", line) == network.follow("ab")
            assert network.forbidden(route, line) == ()

    def test_a_route_that_stops_at_a_place_is_as_hot_as_that_place(self) -> None:
        assert Network(self.PROBLEM).follow(("a", "b", "c")).ambient_c == 70.0

    def test_a_place_without_coordinates_has_no_route_but_to_itself(self) -> None:
        network = Network(self.PROBLEM)
        assert network.routes("a", "lost") == ()
        assert network.shortest("lost", "lost").length_m == 0.0
        text = "No route from 'a' to 'lost': no x, y and z for 'lost'. Give them in the places, or give segments."
        with pytest.raises(RouteError) as caught:
            network.shortest("a", "lost")
        assert str(caught.value) == text
        with pytest.raises(RouteError) as caught:
            network.follow(("a", "lost"))
        assert str(caught.value) == text


class TestStudOf:
    def test_the_nearest_stud_is_meant_by_route_length_not_by_number_of_segments(self) -> None:
        network = Network(with_studs(joined(("a", "b", 3.0), ("a", "c", 1.0), ("c", "d", 1.0)), "b", "d"))
        assert network.stud_of("a") == "d"
        assert network.stud_of("b") == "b"

    def test_ties_go_by_name(self) -> None:
        assert Network(with_studs(SQUARE, "e", "b", "c")).stud_of("d") == "c"
        fork = joined(("m", "z", 0.3), ("m", "n", 0.1), ("n", "a", 0.2))
        assert Network(with_studs(fork, "z", "a")).stud_of("m") == "a"

    def test_the_nearest_stud_is_the_nearest_on_a_way_open_to_the_line(self) -> None:
        ways = with_studs(joined(("a", "b", 1.0), ("a", "c", 2.0)), "b", "c")
        near, far = ways.segments
        network = Network(replace(ways, segments=(replace(near, only=Line.CABLE), far)))
        assert (network.stud_of("a"), network.stud_of("a", Line.CABLE)) == ("c", "b")

    def test_without_studs_there_is_none(self) -> None:
        assert Network(SQUARE).stud_of("a") is None

    def test_a_stud_out_of_reach_is_told(self) -> None:
        with pytest.raises(RouteError, match="No route from 'a' to 'c'"):
            Network(torn(with_studs(joined(("a", "b", 1.0), ("b", "c", 1.0)), "c"), 1)).stud_of("a")


def with_studs(problem: Problem, *studs: str) -> Problem:
    return replace(
        problem,
        places=tuple(replace(place, stud_a=100.0) if place.name in studs else place for place in problem.places),
    )


def test_routes_alone_import_neither_networkx_nor_numpy() -> None:
    code = (
        "import sys; from tests.routing.machines import joined; before = set(sys.modules)\n"
        "from allocator.routing import Network\n"
        "assert Network(joined(('a', 'b', 1.0))).routes('a', 'b')\n"
        "assert not {'networkx', 'numpy', 'pandas'} & (set(sys.modules) - before)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
