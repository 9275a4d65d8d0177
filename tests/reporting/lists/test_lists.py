"""What stands in each list, for a layout with every feature."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import pytest

import allocator
from allocator.layout import Layout
from allocator.reporting.lists import LISTS, build_of, made
from allocator.reporting.lists.listing import typed
from tests.checking.builders import circuit, layout, load, problem
from tests.checking.cases_wires import numbers_through_wall
from tests.reporting.lists.samples import LAYOUT, PROBLEM, said, with_gland

FOUND = allocator.lists(PROBLEM, LAYOUT)


def row(of: str, **where: object) -> dict[str, object]:
    """The one row of a list with these cells."""
    table = FOUND[of]
    for heading, value in where.items():
        table = table[table[heading] == value]
    assert len(table) == 1
    return table.iloc[0].to_dict()


def test_every_list_is_a_table_by_its_name():
    assert list(FOUND) == [
        "violations",
        "outputs",
        "trips",
        "cut-list",
        "feeds-and-fuses",
        "splices",
        "studs",
        "bulkhead-contacts",
        "bundles",
        "bundle-heat",
        "condition-currents",
        "shopping",
        "assumptions",
    ]
    assert len(FOUND) == len(LISTS) + 1
    assert all(isinstance(table, pd.DataFrame) for table in FOUND.values())


def test_the_lists_cannot_be_changed_as_a_whole():
    with pytest.raises(TypeError):
        FOUND["outputs"] = FOUND["trips"]


def test_outputs_of_a_group_say_their_share_and_each_has_its_wire():
    own = FOUND["outputs"][FOUND["outputs"]["feeds"].str.startswith("heater")]
    assert own["feeds"].tolist() == ["heater (1 of 2)", "heater (2 of 2)"]
    assert own["wire"].tolist() == ["main b1/a", "main b2/a"]
    assert own["current [A]"].tolist() == pytest.approx([17.0 * 1.1 / 2] * 2)
    bridge = FOUND["outputs"][FOUND["outputs"]["feeds"].str.startswith("winch")]
    assert bridge["current [A]"].tolist() == [6.0, 6.0]


def test_spare_outputs_are_listed_with_what_they_bear():
    spare = FOUND["outputs"].query("state == 'spare'")
    assert spare["class"].tolist() == ["light", "light"]
    assert spare["rating [A]"].tolist() == [10.0, 10.0]
    assert spare["current [A]"].isna().all()


def test_the_trip_sheet_says_for_how_long_a_start_is_to_be_held():
    """A fan that starts with 12 A for 0.1 s, on an output of 10 A that bears 15 A for 0.2 s and retries once."""
    found = row("trips", feeds="fan")
    assert (found["start [A]"], found["delay at least [s]"], found["delay at most [s]"]) == (12.0, 0.1, 0.2)
    assert found["retries at most"] == 1
    assert found["measured [A]"] is None and found["measured [V]"] is None
    lamp = row("trips", feeds="torch")
    assert pd.isna(lamp["start [A]"]) and pd.isna(lamp["delay at most [s]"])


def test_a_start_within_the_rating_may_be_held_for_ever():
    there = problem(load(inrush_a=8.0, inrush_s=0.1))
    (found,) = allocator.lists(there, layout(circuit()))["trips"].to_dict("records")
    assert found["delay at least [s]"] == 0.1
    assert pd.isna(found["delay at most [s]"])


def test_a_piece_says_what_it_joins_and_is_cut_in_steps():
    found = row("cut-list", label="torch return")
    assert (found["from"], found["to"]) == ("torch", "stud at rear")
    assert (found["length [m]"], found["cut length [m]"], found["cut"]) == (0.3, 0.3, "[ ]")
    assert row("cut-list", label="heater return/b")["to"] == "minus of battery"
    coarse = allocator.lists(PROBLEM, LAYOUT, cut_step_m=0.25)["cut-list"]
    assert coarse.set_index("label").loc["torch return", "cut length [m]"] == 0.5


def test_wires_that_are_in_place_are_neither_cut_nor_bought():
    build = build_of(PROBLEM, LAYOUT, ["main a1", "feed main", "direct pump"])
    found = {one.name: typed(one) for one in made(build)}
    cut = found["cut-list"].set_index("label")
    there = cut[cut["cut"] == "in place"]
    assert {*there.index} == {"main a1/a", "main a1/b", "feed main", "direct pump/a", "direct pump/b"}
    shop = found["shopping"]
    assert shop["in place [m]"].sum() == pytest.approx(there["length [m]"].sum())
    assert shop["cut [m]"].sum() == pytest.approx(cut.loc[cut["cut"] == "[ ]", "cut length [m]"].sum())
    assert shop["length [m]"].sum() == pytest.approx(cut["length [m]"].sum())


def test_colours_are_those_of_the_schedule_or_left_to_fill():
    there = said({"torch": {"Colour": "red", "Return colour": "black"}, "fan": {"Colour": ""}})
    colours = allocator.lists(there, LAYOUT)["cut-list"].set_index("label")["colour"]
    assert colours["aux a1"] == "red"
    assert colours["torch return"] == "black"
    assert colours["main a2"] == ""


def test_splices_name_the_wires_that_meet():
    (found,) = FOUND["splices"].to_dict("records")
    assert (found["at"], found["splices"], found["wires"]) == ("middle", 1, 3)
    assert found["labels"] == "main a1/b; main a1 spot; main a1 lamp"


def test_studs_have_every_return_that_ends_there():
    at_rear = FOUND["studs"][FOUND["studs"]["ends at"] == "stud at rear"]
    assert {"torch return", "lamp return", "pump return"} <= {*at_rear["label"]}
    assert (at_rear["stud limit [A]"] == 50.0).all()
    # lamp 4 A, torch 3 A, pump 12 A; the spot returns to the nearest stud too
    assert at_rear["stud worst [A]"].iloc[0] == pytest.approx(at_rear["current [A]"].sum())
    assert row("condition-currents", kind="stud", name="rear")["worst [%]"] == pytest.approx(
        2 * at_rear["current [A]"].sum()
    )


def test_contacts_have_the_pieces_on_both_sides_by_number():
    pump = FOUND["bulkhead-contacts"][FOUND["bulkhead-contacts"]["loads"] == "pump"]
    assert pump[["on one side", "on the other"]].values.tolist() == [["direct pump/a", "direct pump/b"]]
    gland = allocator.lists(*with_gland())["bulkhead-contacts"]
    through = gland[gland["loads"] == "pump"]
    assert through[["on one side", "on the other"]].values.tolist() == [["direct pump", "direct pump"]]


def test_more_wires_than_contacts_are_listed_without_a_number():
    there, made = numbers_through_wall(1, 2)
    wall = there.bulkheads[0]
    few = (replace(wall.contacts[0], count=1), *wall.contacts[1:])
    narrow = replace(there, bulkheads=(replace(wall, contacts=few),))
    bare = Layout.from_json(made.to_json().replace('"number": 2', '"number": null'))
    found = allocator.lists(narrow, bare)
    taken = found["bulkhead-contacts"].query("state == 'taken' and takes != 'stud'")
    assert taken["contact"].isna().tolist() == [False, True]
    assert "contact count" in {*found["violations"]["rule"]}


def test_bundles_name_the_bulkhead_that_they_pass():
    assert row("bundles", to="middle")["bulkhead"] == "wall"


def test_what_breaks_rules_is_named_on_top_and_nothing_is_called_proven():
    wrong = replace(LAYOUT, circuits=LAYOUT.circuits[1:])
    found = allocator.lists(PROBLEM, wrong)
    assert found["violations"]["rule"].tolist().count("load fed once") == 2
    kinds = found["assumptions"]["kind"].tolist()
    assert kinds[: len(found["violations"])] == ["BROKEN RULE"] * len(found["violations"])
    assert "proof" not in kinds


def test_a_layout_of_another_state_of_the_problem_is_doubted():
    there = replace(PROBLEM, digest="1" * 64)
    kinds = allocator.lists(there, replace(LAYOUT, problem_sha256="2" * 64))["assumptions"]["kind"].tolist()
    assert "doubt" in kinds and "proof" not in kinds


@pytest.mark.parametrize("wrong", [{"cut_step_m": 0.0}, {"waste": -0.1}, {"cut_step_m": float("nan")}])
def test_steps_and_waste_that_mean_nothing_are_refused(wrong):
    with pytest.raises(ValueError, match="give a step above 0 and a share from 0 up"):
        allocator.lists(PROBLEM, LAYOUT, **wrong)
