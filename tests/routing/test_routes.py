from __future__ import annotations

from collections import Counter
from dataclasses import FrozenInstanceError, replace
from itertools import pairwise, product

import networkx as nx
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

import allocator.routing.routes
from allocator.problem import Line, Place, Problem, Segment, WireRules
from allocator.routing import CappedRoutes, Network, Route, crossings
from allocator.routing.routes import MOST_ROUTES
from tests.routing.machines import joined, ladder, machine, machines


def all_routes(problem: Problem, start: str, end: str, line: Line) -> list[Route]:
    """Every simple path that a wire, or a cable, may take, summed up without the package."""
    graph: nx.Graph[str] = nx.Graph()
    graph.add_nodes_from(problem.place)
    for index, segment in enumerate(problem.segments):
        if segment.only is None or segment.only is line:
            graph.add_edge(segment.start, segment.end, index=index)
    routes = []
    for path in nx.all_simple_paths(graph, start, end):
        indices = [graph.edges[edge]["index"] for edge in pairwise(path)]
        segments = [problem.segments[index] for index in indices]
        hot = [problem.ambient_c if s.ambient_c is None else s.ambient_c for s in segments]
        routes.append(
            Route(
                places=tuple(path),
                length_m=sum(round(s.length_m * 10) for s in segments) / 10,
                ambient_c=max([*hot, problem.place_ambient_c(start), problem.place_ambient_c(end)]),
                insulation_c=max(s.insulation_c or 0.0 for s in segments),
                bulkheads=tuple(s.bulkhead for s in segments if s.bulkhead),
                segments=tuple(indices),
            )
        )
    return routes


def asked_for(route: Route) -> float:
    """Insulation of every wire on the route: that of all wires, or what the route asks for beyond it."""
    return max(WireRules().insulation_c, route.insulation_c)


def beside_wires(problem: Problem, route: Route) -> bool:
    """Whether wires may lie anywhere on the route: a cable carries less there."""
    return any(problem.segments[e].only is not Line.CABLE for e in route.segments)


def as_good(problem: Problem, one: Route, other: Route, around: frozenset[int]) -> bool:
    return (
        beside_wires(problem, one) <= beside_wires(problem, other)
        and one.length_m <= other.length_m
        and one.ambient_c <= other.ambient_c
        and asked_for(one) == asked_for(other)
        and Counter(one.bulkheads) <= Counter(other.bulkheads)
        and around & set(one.segments) <= around & set(other.segments)
    )


def worth_having(problem: Problem, routes: list[Route], around: frozenset[int]) -> list[Route]:
    """The non-dominated routes, of equal ones the first by names."""
    kept: list[Route] = []
    for route in sorted(routes, key=lambda r: (r.length_m, r.places)):
        if not any(as_good(problem, other, route, around) for other in kept):
            kept.append(route)
    return kept


def may_miss(problem: Problem, start: str, end: str, line: Line) -> bool:
    """Whether a route asks for more than a part of it does, to whose end another leads by way of where it goes later.

    Such a route goes the long way round to need better wire; that it may be missed is said where labels are set.
    """
    routes = {place: all_routes(problem, start, place, line) for place in problem.place if place != start}
    for route in routes[end]:
        for n, here in enumerate(route.places[1:-1], start=2):
            (part,) = (other for other in routes[here] if other.places == route.places[:n])
            alike = [other for other in routes[here] if asked_for(other) == asked_for(part) < asked_for(route)]
            if any(other.length_m <= part.length_m and {*other.places} & {*route.places[n:]} for other in alike):
                return True
    return False


@settings(deadline=None)
@given(machines(closed=True), st.data())
def test_routes_are_the_non_dominated_among_all_simple_paths(problem: Problem, data: st.DataObject) -> None:
    start, end = data.draw(st.permutations(sorted(problem.place)))[:2]
    assume(not any(may_miss(problem, start, end, line) for line in Line))
    network = Network(problem)
    # one network is asked everything: what it keeps of one question must not answer another
    for line, around in product(Line, [frozenset[int](), data.draw(some_segments(problem))]):
        expected = worth_having(problem, all_routes(problem, start, end, line), around)
        assert [r.places for r in network.routes(start, end, line, around)] == [r.places for r in expected]
        for found, wanted in zip(network.routes(start, end, line, around), expected, strict=True):
            assert found.length_m == pytest.approx(wanted.length_m, rel=1e-12)
            assert (found.ambient_c, found.insulation_c, found.bulkheads, found.segments) == (
                wanted.ambient_c,
                wanted.insulation_c,
                wanted.bulkheads,
                wanted.segments,
            )


def some_segments(problem: Problem) -> st.SearchStrategy[frozenset[int]]:
    return st.frozensets(st.integers(0, len(problem.segments) - 1), max_size=4)


def test_a_cool_detour_stands_beside_a_short_hot_route() -> None:
    problem = machine(
        [Place(name=n) for n in "abc"],
        [
            Segment(start="a", end="b", length_m=1.0, ambient_c=105.0),
            Segment(start="a", end="c", length_m=1.0),
            Segment(start="c", end="b", length_m=1.0),
        ],
    )
    assert [(r.places, r.ambient_c) for r in Network(problem).routes("a", "b")] == [
        (("a", "b"), 105.0),
        (("a", "c", "b"), 40.0),
    ]


def test_a_detour_that_is_no_cooler_than_its_end_place_is_not_worth_having() -> None:
    problem = machine(
        [Place(name="a"), Place(name="b", ambient_c=105.0), Place(name="c")],
        [
            Segment(start="a", end="b", length_m=1.0, ambient_c=105.0),
            Segment(start="a", end="c", length_m=1.0),
            Segment(start="c", end="b", length_m=1.0),
        ],
    )
    assert [r.places for r in Network(problem).routes("a", "b")] == [("a", "b")]


def test_a_route_through_another_bulkhead_stands_beside_a_shorter_one() -> None:
    problem = machine(
        [Place(name=n) for n in "abc"],
        [
            Segment(start="a", end="b", length_m=1.0, bulkhead="left"),
            Segment(start="a", end="c", length_m=1.0, bulkhead="right"),
            Segment(start="c", end="b", length_m=1.0),
        ],
    )
    assert [r.bulkheads for r in Network(problem).routes("a", "b")] == [("left",), ("right",)]


TRIANGLE = joined(("a", "b", 1.0), ("a", "c", 1.0), ("c", "b", 1.5))
NOWHERE: frozenset[int] = frozenset()
STEPS = joined(("a", "b", 1.0), ("a", "c", 1.0), ("c", "b", 1.5), ("c", "d", 1.0), ("d", "b", 2.0))


@pytest.mark.parametrize(
    ("around", "expected"),
    [
        ((), ["ab"]),
        ((0,), ["ab", "acb"]),
        ((1,), ["ab"]),
        ((0, 1), ["ab", "acb"]),
        ((0, 2), ["ab", "acb", "acdb"]),
        ((0, 1, 2), ["ab", "acb", "acdb"]),
    ],
    ids=str,
)
def test_a_longer_route_stays_where_it_goes_round_a_segment_that_all_shorter_ones_pass(
    around: tuple[int, ...], expected: list[str]
) -> None:
    routes = Network(STEPS).routes("a", "b", around=frozenset(around))
    assert ["".join(route.places) for route in routes] == expected


def test_a_way_round_is_no_route_where_a_shorter_one_passes_fewer_of_the_segments() -> None:
    assert len(Network(TRIANGLE).routes("a", "b", around=frozenset({0}))) == 2
    assert len(Network(TRIANGLE).routes("a", "b", around=frozenset({1, 2}))) == 1


def test_each_line_takes_the_ways_open_to_it() -> None:
    short, *others = TRIANGLE.segments
    tray = replace(TRIANGLE, segments=(replace(short, only=Line.CABLE), *others))
    network = Network(tray)
    assert [r.places for r in network.routes("a", "b")] == [("a", "c", "b")]
    assert [r.places for r in network.routes("a", "b", Line.CABLE)] == [("a", "b")]
    assert network.routes("a", "b", Line.WIRE) is network.routes("a", "b")


def test_a_bulkhead_crossed_twice_is_named_twice() -> None:
    problem = machine(
        [Place(name=n) for n in "abc"],
        [
            Segment(start="a", end="b", length_m=1.0, bulkhead="wall"),
            Segment(start="b", end="c", length_m=1.0, bulkhead="wall"),
        ],
    )
    (route,) = Network(problem).routes("a", "c")
    assert route.bulkheads == ("wall", "wall")
    assert crossings({"wire": route, "other": Network(problem).shortest("a", "a")}) == {"wall": {"wire": 2}}


def test_nothing_is_cut_short_while_there_are_few_routes() -> None:
    network = Network(ladder(4))
    assert len(network.routes("m0", "m4")) == 16
    assert network.capped([("m0", "m4", Line.WIRE, NOWHERE)]) == ()


def test_where_routes_are_many_the_shortest_and_the_better_ones_are_kept_and_the_cut_is_told() -> None:
    network = Network(ladder(5))
    routes = network.routes("m0", "m5")
    assert MOST_ROUTES <= len(routes) < 32
    for bulkhead in {name for route in routes for name in route.bulkheads}:
        assert any(bulkhead not in route.bulkheads for route in routes)
    assert network.capped([("m0", "m5", Line.WIRE, NOWHERE)]) == (CappedRoutes("m0", ("l4", "m5", "r4"), ()),)


def fork(rungs: int, *names: str) -> tuple[Problem, frozenset[int]]:
    """A ladder for wires only, and from its top to each place named a segment and a long way round.

    Also the numbers of the former.
    """
    below = ladder(rungs)
    segments = [replace(segment, only=Line.WIRE) for segment in below.segments]
    for name in names:
        segments += [
            Segment(start=f"m{rungs}", end=name, length_m=1.0),
            Segment(start=f"m{rungs}", end=f"round {name}", length_m=50.0),
            Segment(start=f"round {name}", end=name, length_m=50.0),
        ]
    places = [Place(name=name) for name in (*names, *(f"round {name}" for name in names))]
    short = frozenset(n for n, segment in enumerate(segments) if segment.end in names and segment.length_m == 1.0)
    return machine([*below.places, *places], segments), short


def test_where_routes_are_many_one_that_goes_round_a_segment_is_kept_and_the_segments_are_told() -> None:
    problem, (short,) = fork(5, "z")
    network = Network(problem)
    routes = network.routes("m0", "z", around=frozenset({short}))
    assert [route.places[-2] for route in routes] == ["m5"] * (len(routes) - 1) + ["round z"]
    assert routes[-1].places == ("m0", "l0", "m1", "l1", "m2", "l2", "m3", "l3", "m4", "l4", "m5", "round z", "z")
    (capped,) = network.capped([("m0", "z", Line.WIRE, frozenset({short}))])
    assert capped.around == ("m5 - z",)


def test_all_segments_to_go_round_are_told_whatever_was_asked_for_first() -> None:
    problem, short = fork(5, "w", "x", "y", "z")
    network = Network(problem)
    asked = [("m0", "z", Line.WIRE, around) for around in (short, NOWHERE)]
    for one in asked:
        network.routes(*one)
    (capped,) = network.capped(asked)
    assert capped.around == ("m5 - w", "m5 - x", "m5 - y", "m5 - z")


def test_what_others_asked_for_is_not_told() -> None:
    problem, short = fork(5, "z")
    network = Network(problem)
    network.routes("m0", "z", around=short)
    network.routes("m0", "m4")
    assert network.capped([("m0", "m0", Line.WIRE, NOWHERE)]) == ()
    network.routes("m0", "z")
    (capped,) = network.capped([("m0", "z", Line.WIRE, NOWHERE)])
    assert capped.around == ()


def test_segments_to_go_round_are_told_only_where_routes_were_cut() -> None:
    problem, short = fork(5, "z")
    network = Network(problem)
    asked = [("m0", "m5", Line.WIRE, NOWHERE), ("m0", "z", Line.CABLE, short)]
    for one in asked:
        network.routes(*one)
    (capped,) = network.capped(asked)
    assert capped.around == ()


@settings(deadline=None)
@given(machines(closed=True), st.data())
def test_however_few_routes_are_kept_each_segment_with_a_way_round_is_gone_round(
    problem: Problem, data: st.DataObject
) -> None:
    start, end = data.draw(st.permutations(sorted(problem.place)))[:2]
    around = data.draw(some_segments(problem))
    line = data.draw(st.sampled_from(Line))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(allocator.routing.routes, "MOST_ROUTES", 1)
        routes = Network(problem).routes(start, end, line, around)
    every = all_routes(problem, start, end, line)
    for segment in around:
        if any(segment not in route.segments for route in every):
            assert any(segment not in route.segments for route in routes)


def test_a_route_cannot_be_changed() -> None:
    route = Route(places=("a",), length_m=0.0, ambient_c=40.0)
    with pytest.raises(FrozenInstanceError):
        route.length_m = 1.0  # type: ignore[misc]
