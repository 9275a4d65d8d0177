from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from allocator.problem import Problem
from allocator.routing import Network, TreeWires, split_tree
from tests.routing.machines import joined, machines

LINE = Network(joined(("site", "mid", 1.0), ("mid", "near", 1.0), ("near", "far", 1.0), ("mid", "side", 1.0)))


def wires(root: str, splice_wires: int = 4, **loads: int) -> TreeWires:
    return split_tree(LINE.tree(root, loads), loads, root, splice_wires)


def drawn(result: TreeWires) -> list[tuple[str, bool]]:
    return [("-".join(piece.places), piece.at_load) for piece in result.pieces]


def test_one_load_has_one_piece() -> None:
    result = wires("site", far=1)
    assert drawn(result) == [("site-mid-near-far", True)]
    assert result.splices == ()
    assert (result.pieces[0].start, result.pieces[0].end) == ("site", "far")


def test_where_the_tree_branches_is_a_splice() -> None:
    result = wires("site", far=1, side=1)
    assert drawn(result) == [("site-mid", False), ("mid-near-far", True), ("mid-side", True)]
    assert result.splices == (("mid", 1),)


def test_a_load_on_the_way_to_another_hangs_on_a_splice_by_a_piece_of_no_length() -> None:
    result = wires("site", near=1, far=1)
    assert drawn(result) == [("site-mid-near", False), ("near", True), ("near-far", True)]
    assert result.splices == (("near", 1),)


def test_two_loads_at_the_end_of_the_tree_need_a_splice_there() -> None:
    result = wires("site", far=2)
    assert drawn(result) == [("site-mid-near-far", False), ("far", True), ("far", True)]
    assert [piece.downstream for piece in result.pieces] == [(("far", 2),), (("far", 1),), (("far", 1),)]
    assert result.splices == (("far", 1),)


def test_a_splice_at_the_site_has_a_piece_from_the_output() -> None:
    result = wires("mid", near=1, side=1)
    assert drawn(result) == [("mid", False), ("mid-near", True), ("mid-side", True)]
    assert result.splices == (("mid", 1),)


def test_one_load_at_the_site_has_one_piece_of_no_length() -> None:
    assert drawn(wires("site", site=1)) == [("site", True)]


def test_loads_at_the_site_and_beyond_are_spliced_there() -> None:
    assert drawn(wires("site", site=2, mid=1)) == [("site", False), ("site", True), ("site", True), ("site-mid", True)]


@pytest.mark.parametrize(("loads", "splice_wires", "splices"), [(3, 4, 1), (4, 4, 2), (5, 4, 2), (6, 4, 3), (5, 3, 4)])
def test_a_splice_takes_so_many_wires_and_more_are_chained(loads: int, splice_wires: int, splices: int) -> None:
    result = wires("site", splice_wires, far=loads)
    assert result.splices == (("far", splices),)
    assert result.splices_passed("far") == splices


def test_the_path_of_a_load_names_its_own_pieces_and_splices() -> None:
    result = wires("site", side=2, near=1, far=1)
    assert ["-".join(piece.places) for piece in result.path("far")] == ["site-mid", "mid-near", "near-far"]
    assert ["-".join(piece.places) for piece in result.path("near")] == ["site-mid", "mid-near", "near"]
    assert ["-".join(piece.places) for piece in result.path("side")] == ["site-mid", "mid-side", "side"]
    assert [result.splices_passed(place) for place in ("far", "near", "side")] == [2, 2, 2]


def test_a_piece_knows_which_loads_are_downstream() -> None:
    trunk, *_ = wires("site", side=2, near=1, far=1).pieces
    assert trunk.downstream == (("far", 1), ("near", 1), ("side", 2))
    assert trunk.feeds("far") and not trunk.feeds("mid")


@given(machines(), st.data())
def test_pieces_make_up_the_tree_and_meet_as_counted(problem: Problem, data: st.DataObject) -> None:
    network = Network(problem)
    names = sorted(problem.place)
    loads = data.draw(st.dictionaries(st.sampled_from(names), st.integers(1, 3), min_size=1))
    tree = network.tree("p0", loads)
    result = split_tree(tree, loads, "p0", data.draw(st.integers(3, 5)))
    assert sorted(step for piece in result.pieces for step in pairwise(piece.places)) == sorted(tree.edges)
    assert sum(piece.at_load for piece in result.pieces) == sum(loads.values())
    meeting = Counter(piece.start for piece in result.pieces)
    meeting.update(piece.end for piece in result.pieces if not piece.at_load)
    for place, count in loads.items():
        path = result.path(place)
        assert path[0].start == "p0" and path[-1].end == place and path[-1].at_load
        assert all(one.end == other.start for one, other in pairwise(path))
        assert sum(piece.at_load and piece.end == place for piece in result.pieces) == count
    for place, _ in result.splices:
        edges = sum(place in edge for edge in tree.edges)
        at_output = place == "p0"  # the piece from the output counts twice there: it starts and ends at the site
        assert meeting[place] - at_output == edges + loads.get(place, 0) + at_output


@pytest.mark.parametrize(
    ("ends", "loads", "root", "splice_wires", "text"),
    [
        (["far"], {"far": 1}, "site", 2, "A splice of 2 wires joins nothing: give at least 3."),
        (["far"], {"far": 1}, "mid", 4, "The tree starts at 'site', not at 'mid'."),
        (["far"], {"far": 0}, "site", 4, "A circuit without loads has no wires."),
        (["far"], {"far": 1, "side": 1}, "site", 4, "'side' has a load but is not on the tree."),
        (["far"], {"near": 1}, "site", 4, "The tree ends at 'far', where there is no load."),
    ],
)
def test_loads_that_do_not_fit_the_tree_are_refused(
    ends: list[str], loads: dict[str, int], root: str, splice_wires: int, text: str
) -> None:
    with pytest.raises(ValueError) as caught:
        split_tree(LINE.tree("site", ends), loads, root, splice_wires)
    assert str(caught.value) == text
