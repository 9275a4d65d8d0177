"""What a schedule calls for, by hand; and as many outputs as the engine uses where it gets just these sizes."""

from __future__ import annotations

import json
from dataclasses import FrozenInstanceError

import pytest

from allocator import demand, read_problem, solve
from allocator.importing.understanding import read_schedule
from allocator.importing.workbook import write_workbook
from allocator.load_demand import Demand
from allocator.output_count import OutputSteps
from tests.cli.running import allocator
from tests.paths import PROBLEMS

SCHEDULE = """\
Item,Qty,Amps,Place,Driving,Parked
Fan,3,2.5,Roof,x,
Pump,1,7,Bilge,x,x
Winch,1,38,Bow,x,
Radio,1,TBC,Cab,x,x
Lamp,some,1,Cab,,x
"""


@pytest.fixture
def schedule(tmp_path):
    path = tmp_path / "list.csv"
    path.write_text(SCHEDULE)
    return path


@pytest.fixture
def found(schedule) -> Demand:
    return demand(schedule, OutputSteps(steps_a=(5.0, 10.0, 20.0)), reserve=0.25)


def test_outputs_by_size(found):
    # 2.5 A in 5 A outputs (4 A each), 7 A in one of 10 A, 38 A in 3 of 20 A (14.4 A each beside others)
    sizes = {size.rating_a: (size.loads, size.outputs, size.with_reserve) for size in found.sizes}
    assert sizes == {20.0: (1, 3, 4), 10.0: (1, 1, 2), 5.0: (3, 3, 4)}
    assert [(one.load, one.outputs) for one in found.loads if one.parallel] == [("Winch", 3)]


def test_amperes_by_condition(found):
    assert [(one.condition, one.current_a) for one in found.conditions] == [("driving", 52.5), ("parked", 7.0)]
    assert found.conditions[0].with_reserve_a == pytest.approx(65.625)


def test_places(found):
    assert [(one.place, one.outputs, one.current_a) for one in found.places] == [
        ("Roof", 3, 7.5),
        ("Bilge", 1, 7.0),
        ("Bow", 3, 38.0),
    ]


def test_what_cannot_be_counted_is_named_and_not_counted(found):
    assert [text.split(":")[0] for text in found.not_counted] == ["Radio", "Lamp"]
    assert "'TBC': says that it is not known" in found.not_counted[0]


def test_without_conditions_all_is_on(tmp_path):
    path = tmp_path / "list.csv"
    path.write_text("Item,Amps\nFan,2\nPump,3\n")
    assert [(one.condition, one.current_a) for one in demand(path).conditions] == [("all on", 5.0)]


def test_it_is_frozen_and_its_frames_hold_the_same(found):
    with pytest.raises(FrozenInstanceError):
        found.reserve = 0.0
    assert list(found.frame()["driving [A]"]) == [2.5, 7.0, 38.0]
    assert found.sizes_frame()["outputs"].sum() == found.frame().eval("number * outputs").sum() == 7
    assert list(found.conditions_frame()["condition"]) == ["driving", "parked"]
    assert found.places_frame()["outputs"].sum() == 7


def test_of_a_schedule_a_file_or_as_it_was_read_it_is_the_same(schedule, found):
    assert demand(read_schedule(schedule), OutputSteps(steps_a=(5.0, 10.0, 20.0)), reserve=0.25) == found


def test_of_a_folder_a_workbook_or_a_problem_it_is_the_same(tmp_path):
    folder = PROBLEMS / "pilot-boat"
    of_problem = demand(read_problem(folder))
    assert demand(folder) == of_problem
    assert demand(write_workbook(folder, tmp_path / "boat.xlsx")) == of_problem


def test_loads_of_a_problem_are_all_there():
    problem = read_problem(PROBLEMS / "clinic-van")
    of_problem = demand(problem)
    assert sum(one.number for one in of_problem.loads) == len(problem.loads)
    for place, condition in enumerate(of_problem.conditions):
        amperes = sum(load.current_a * load.heating(place) for load in problem.loads)
        assert condition.current_a == pytest.approx(amperes)


def test_a_folder_that_lacks_all_else_is_counted(schedule, tmp_path):
    assert allocator("import", schedule, tmp_path / "made").code == 0
    for name in ("places.csv", "import.txt"):
        (tmp_path / "made" / name).unlink()
    of_folder, of_schedule = demand(tmp_path / "made"), demand(schedule)
    assert of_folder.loads == of_schedule.loads
    assert of_folder.conditions == of_schedule.conditions
    assert len(of_folder.not_counted) == len(of_schedule.not_counted) == 2
    assert all(text.startswith("loads.csv, row ") for text in of_folder.not_counted)


def test_the_engine_uses_as_many_outputs(tmp_path):
    path = tmp_path / "list.csv"
    rows = "Fan,3,2.5,Roof,2\nPump,1,7,Bilge,3\nWinch,1,38,Bow,2\nLamp,5,1,Bow,4\n"
    path.write_text(f"Item,Qty,Amps,Place,Run (m)\n{rows}")
    assert allocator("import", path, tmp_path / "made").code == 0
    segments = tmp_path / "made" / "segments.csv"
    segments.write_text(segments.read_text().replace("unit site,battery,", "unit site,battery,1 m"))
    problem = read_problem(tmp_path / "made")
    assert solve(problem).totals.outputs_used == sum(one.all_outputs for one in demand(path).loads) == 12


def test_the_command_prints_it_at_80_columns(schedule):
    result = allocator("demand", schedule, "--steps", "5, 10, 20 A", "--reserve", "25%")
    assert result.code == 0
    assert max(map(len, result.out.splitlines())) <= 80
    assert "list: 5 loads, 7 outputs" in result.out
    assert "Winch  Bow    38.00         3 x 20 A" in result.out
    assert "driving    52.50           65.62" in result.out
    assert "Without 2 rows that cannot be counted yet:" in result.out


def test_the_command_prints_it_for_programs(schedule):
    record = json.loads(allocator("demand", schedule, "--json", "--steps", "5,10,20", "--use", "100%").out)
    assert record["output_use"] == 1.0
    assert [(size["rating_a"], size["outputs"]) for size in record["sizes"]] == [(20.0, 3), (10.0, 1), (5.0, 3)]
    assert len(record["not_counted"]) == 2


@pytest.mark.parametrize(
    ("option", "value"), [("--steps", "0"), ("--steps", "a"), ("--use", "0"), ("--use", "2"), ("--reserve", "-1")]
)
def test_an_option_that_makes_no_sense_is_refused(schedule, option, value):
    result = allocator("demand", schedule, option, value)
    assert result.code == 2
    assert option in result.err


@pytest.mark.parametrize("name", ["nowhere.csv", "nowhere.xlsx", "nowhere"])
def test_what_is_not_there_is_told_of(tmp_path, name):
    result = allocator("demand", tmp_path / name)
    assert result.code == 2
    assert name in result.err
    assert "Traceback" not in result.err
