from __future__ import annotations

from dataclasses import replace

from allocator.reading import read_problem
from allocator.reporting.labels import circuit_labels, direct_labels, given_labels, labels_of, piece_labels
from allocator.reporting.records import wires
from allocator.revising import revise
from allocator.search.solve import solve
from tests.cli.example import write_example
from tests.reporting.samples import CIRCUITS, LAYOUT, wire


def test_a_wire_at_a_pin_is_called_by_unit_and_pin_and_a_return_by_its_load():
    assert circuit_labels(CIRCUITS[1], "warm") == ("front H1", "front H2", "heater return")


def test_the_pieces_of_a_tree_are_called_by_what_they_end_at():
    assert circuit_labels(CIRCUITS[3], "warm") == (
        "front S2",
        "front S2 lamp 1",
        "front S2 lamp 2",
        "lamp 1 return",
        "lamp 2 return",
    )


def test_where_the_unit_sits_at_a_splice_the_piece_that_stays_there_is_the_one_at_the_output():
    there = replace(CIRCUITS[3], wires=(wire("trunk", "warm", "nose", 1.0, ("lamp 1",)), *CIRCUITS[3].wires))
    there = replace(there, wires=(*there.wires, wire("trunk", "warm", "warm", 0.3, ("lamp 1", "lamp 2"))))
    assert circuit_labels(there, "warm")[0] == "front S2 splice nose"
    assert circuit_labels(there, "warm")[-1] == "front S2"


def test_a_load_fused_at_its_source_has_a_way_out_and_a_return():
    assert direct_labels(LAYOUT.direct[0]) == ("direct radio", "radio return")


def test_no_two_pieces_of_wire_have_one_label():
    labels = [record["label"] for record in wires(LAYOUT).records()]
    assert len(labels) == len(set(labels))


def test_what_a_hand_names_twice_is_numbered():
    twice = replace(LAYOUT, circuits=(CIRCUITS[0], CIRCUITS[0], CIRCUITS[0]))
    assert [own[0] for own in labels_of(twice).circuits] == ["front S1", "front S1/2", "front S1/3"]


def test_cores_are_numbered_where_there_are_several():
    assert given_labels(LAYOUT.given[0]) == ("given data pair/1", "given data pair/2")
    assert given_labels(replace(LAYOUT.given[0], cores=1)) == ("given data pair",)


def test_pieces_have_letters_only_where_there_are_several():
    assert piece_labels("front H1", 1) == ("front H1",)
    assert piece_labels("front H1", 3) == ("front H1/a", "front H1/b", "front H1/c")
    assert piece_labels("x", 28)[-2:] == ("x/aa", "x/ab")


def test_wires_that_stay_keep_their_labels_in_a_revision(tmp_path):
    """One lamp of a shared output goes, so that its tree is another; a load is new."""
    problem = read_problem(write_example(tmp_path))
    built = solve(problem)
    loads = [load for load in problem.loads if load.name != "ceiling lamp 1"]
    scales = problem.load["scales"]
    later = replace(problem, loads=(replace(scales, name="another", item="another"), *loads))
    revision = revise(later, built, max_moves=0)
    assert revision.layout is not None
    before, after = (
        {record["label"]: [record[key] for key in ("role", "from", "to", "size")] for record in wires(one).records()}
        for one in (built, revision.layout)
    )
    stays = [change for change in revision.wires if change.what == "stays"]
    assert len(stays) == len(before) - 2  # the branch of that lamp and its return
    assert {label for label in before if after.get(label) == before[label]} == {*before} - {
        "main 4 ceiling lamp 1",
        "ceiling lamp 1 return",
    }
