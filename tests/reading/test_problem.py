from __future__ import annotations

import subprocess
import sys
from dataclasses import FrozenInstanceError, fields, is_dataclass, replace
from math import sqrt
from pathlib import Path
from typing import Any

import pytest

from allocator.problem import (
    Bank,
    Bulkhead,
    Bundling,
    Cables,
    ContactSet,
    Fit,
    Function,
    Kind,
    Line,
    OutputClass,
    Place,
    Problem,
    ProblemError,
    Run,
    Segment,
    Source,
    Unit,
    Wire,
)
from allocator.reading import read_problem
from tests.reading.folders import FILES, LOADS, PLACES, SEGMENTS, SETTINGS, written


@pytest.fixture
def problem(tmp_path: Path) -> Problem:
    return read_problem(written(tmp_path))


def test_the_system_is_read(problem: Problem) -> None:
    assert problem.name == "Workshop trailer"
    assert (problem.nominal_v, problem.running_v, problem.lowest_v) == (12.0, 13.6, 11.5)
    assert (problem.ambient_c, problem.altitude_m) == (42.0, 100.0)
    assert problem.conditions == ("day", "night")
    assert problem.margins.robust == 1
    assert problem.prices.unit_mass == 0.5


def test_sources_are_read_and_the_first_is_the_default(problem: Problem) -> None:
    assert problem.sources == (
        Source(name="battery", place="battery box", supply_a=(("day", 30.0),), capacity_ah=100.0),
        Source(name="second battery", place="bench"),
    )
    assert [unit.source for unit in problem.units] == ["battery", "second battery"]


def test_a_quantity_makes_as_many_loads_of_one_item(problem: Problem) -> None:
    assert [load.name for load in problem.loads] == ["work lamp 1", "work lamp 2", "vice heater", "pump"]
    assert [load.item for load in problem.loads] == ["work lamp", "work lamp", "vice heater", "pump"]
    assert replace(problem.loads[0], name="work lamp 2") == problem.loads[1]


def test_a_load_is_read_with_all_its_columns(problem: Problem) -> None:
    lamp = problem.load["work lamp 1"]
    assert (lamp.current_a, lamp.needs, lamp.share, lamp.max_drop) == (4.0, ("dim",), "lamps", 0.03)
    assert (lamp.return_to, lamp.lead_m, lamp.levels) == ("source", 0.2, (0.0, 0.5))
    assert lamp.extra == (("colour", "red"),)
    assert lamp.heating(1) == sqrt(0.5)
    pump = problem.load["pump"]
    assert (pump.kind, pump.stall_a, pump.unit, pump.output) == (Kind.MOTOR, 20.0, "front", "L1")


def test_watts_become_amperes_by_the_kind_of_load(problem: Problem) -> None:
    assert problem.load["vice heater"].current_a == pytest.approx(60 / 12 * 13.6 / 12, rel=1e-12)
    assert problem.load["pump"].current_a == pytest.approx(57.5 / 11.5, rel=1e-12)


def test_places_segments_and_runs_are_read(problem: Problem) -> None:
    assert problem.place["bench"] == Place(
        name="bench", x_m=1.0, y_m=0.0, z_m=0.5, units=2, extra=(("remark", "by the vice"),)
    )
    assert problem.place["rear door"].stud_a == 20.0
    assert problem.place["rear door"].wet
    assert problem.place_ambient_c("bench") == 42.0
    assert problem.segments[1] == Segment(
        start="bench",
        end="rear door",
        length_m=2.5,
        ambient_c=50.0,
        bulkhead="floor",
        insulation_c=105.0,
        extra=(("note", "clip"),),
    )
    assert problem.runs == (
        Run(load="work lamp", site="bench", length_m=2.8),
        Run(load="pump", site="battery box", length_m=0.0),
    )


BUNDLES = """\
from,to,length [mm],Bundle,cables_only,Wires only,bundle wires,bundle loading [%],note
battery box,bench,1200,80 %,yes,no,9,,clip
bench,rear door,2500,,no,yes,,40,
bench,roof,900,0.9,,,,,
"""


def test_what_segments_say_of_bundles_is_read(tmp_path: Path) -> None:
    settings = SETTINGS.replace('bundle = "none"', 'bundle = "table"\nbundle_wires = 12\nbundle_loading = "60 %"')
    places = PLACES + "roof,1,0,2,,,,,\n"
    box, door, roof = read_problem(written(tmp_path, problem=settings, places=places, segments=BUNDLES)).segments
    assert (box.factor, box.only, box.wires, box.loading) == (0.8, Line.CABLE, 9, None)
    assert (door.factor, door.only, door.wires, door.loading) == (1.0, Line.WIRE, None, 0.4)
    assert (roof.factor, roof.only, roof.wires, roof.loading) == (0.9, None, None, None)
    assert box.extra == (("note", "clip"),)


@pytest.mark.parametrize(
    ("written_as", "bundle", "cables", "wires", "loading"),
    [
        ("", Bundling.HEAT, Cables.BESIDE, None, None),
        ('bundle = "heat"\ncables = "inside"', Bundling.HEAT, Cables.INSIDE, None, None),
        ('bundle = "Table"\nbundle_wires = 12\nbundle_loading = "60 %"', Bundling.TABLE, Cables.BESIDE, 12, 0.6),
        ('bundle = "none"\ncables = "beside"', Bundling.NONE, Cables.BESIDE, None, None),
    ],
)
def test_how_bundles_are_held_is_read(
    tmp_path: Path, written_as: str, bundle: Bundling, cables: Cables, wires: int | None, loading: float | None
) -> None:
    margins = read_problem(written(tmp_path, problem=SETTINGS.replace('bundle = "none"', written_as))).margins
    assert (margins.bundle, margins.cables) == (bundle, cables)
    assert (margins.bundle_wires, margins.bundle_loading) == (wires, loading)


def test_the_default_of_bundles_is_told(tmp_path: Path) -> None:
    left_out = read_problem(written(tmp_path, problem=SETTINGS.replace('bundle = "none"', "")))
    assert "margins.bundle is not given: heat is taken" in left_out.defaults
    assert "margins.cables is not given: beside is taken" in left_out.defaults
    assert not [line for line in left_out.defaults if "bundle_" in line]


def test_unit_types_are_read_with_banks_outputs_and_hot_points(problem: Problem) -> None:
    (unit_type,) = problem.unit_types
    assert (unit_type.mass_g, unit_type.continuous_a, unit_type.sealed) == (300.0, 60.0, True)
    assert unit_type.hot == ((60.0, 1.0), (85.0, 0.7))
    assert unit_type.banks == (Bank(name="left", continuous_a=30.0), Bank(name="right", continuous_a=25.0))
    heavy, light = unit_type.outputs
    assert heavy == OutputClass(
        name="heavy",
        bank="left",
        pins=("H1", "H2"),
        continuous_a=20.0,
        peaks=((60.0, 0.2),),
        retries=2,
        wire_mm2=(1.0, 6.0),
        trip_step_a=1.0,
        capabilities=("dim",),
        parallel=2,
        parallel_use=0.85,
    )
    assert light.trips_a == (3.0, 5.0, 8.0)
    assert light.wire_mm2 == pytest.approx((0.5176, 2.5), rel=1e-3)


def test_units_bulkheads_and_functions_are_read(problem: Problem) -> None:
    assert problem.units[0] == Unit(
        name="front",
        type="6-way",
        sites=("bench", "battery box"),
        source="battery",
        spare=(("light", 1),),
        spare_current_a=2.0,
    )
    assert problem.units[1].fit is Fit.IF_NEEDED
    contacts = ContactSet(count=8, wire_mm2=(0.5, 2.5), continuous_a=13.0, resistance_ohm=0.005)
    assert problem.bulkheads == (Bulkhead(name="floor", kind="gland", contacts=(contacts,), studs=1),)
    assert problem.functions == (
        Function(name="light", loads=("work lamp 1", "work lamp 2"), survive=1, against=("unit", "output")),
    )


def test_a_wire_table_of_the_users_own_is_read_and_sorted(problem: Problem) -> None:
    assert problem.wires.name == "ours.csv"
    assert problem.wires.wires == (
        Wire(size="0.5 mm2", area_mm2=0.5, insulation_c=105.0),
        Wire(size="1 mm2", area_mm2=1.0, insulation_c=105.0),
        Wire(size="1 mm2", area_mm2=1.0, insulation_c=125.0),
        Wire(size="2.5 mm2", area_mm2=2.5, insulation_c=105.0),
    )
    assert problem.feed_wires.name == "metric battery cable"
    assert problem.wire_rules.sizes == ("1 mm2", "2.5 mm2")
    assert problem.wire_rules.smallest_mm2 == 0.75


def test_defaults_that_were_taken_are_told(problem: Problem) -> None:
    assert "margins.trip is not given: 1.25 is taken" in problem.defaults
    assert "wire.insulation is not given: 100 degC is taken" in problem.defaults
    assert "loads.csv has no column 'duty': every load is on all the time while it is on" in problem.defaults
    assert "places.csv: 1 of 3 rows give no ambient: 42 degC of the system is taken" in problem.defaults
    assert not [says for says in problem.defaults if "robust" in says or "kind" in says]


def test_the_digest_depends_on_every_file_that_is_read_and_on_no_other(tmp_path: Path) -> None:
    first = read_problem(written(tmp_path)).digest
    assert len(first) == 64
    (tmp_path / "notes.txt").write_text("seen")
    assert read_problem(tmp_path).digest == first
    for name, text in FILES.items():
        (tmp_path / name).write_text(text + "\n")
        assert read_problem(tmp_path).digest != first
        (tmp_path / name).write_text(text)


def test_no_conditions_mean_one_in_which_all_is_on(tmp_path: Path) -> None:
    settings = SETTINGS.replace('conditions = ["day", "night"]\n', "").replace('supply = {day = "30 A"}\n', "")
    problem = read_problem(written(tmp_path, problem=settings))
    assert problem.conditions == ("all on",)
    assert {load.levels for load in problem.loads} == {(1.0,)}
    # columns of conditions that the problem does not have are carried through
    assert ("night", "50 %") in problem.loads[0].extra


def test_conditions_without_a_column_are_all_on(tmp_path: Path) -> None:
    loads = LOADS.replace(",day,night,", ",morning,evening,")
    problem = read_problem(written(tmp_path, loads=loads))
    assert {load.levels for load in problem.loads} == {(1.0, 1.0)}
    assert "loads.csv has no column for a condition: every load is on in each" in problem.defaults


def test_segments_may_be_left_out_where_places_have_coordinates(tmp_path: Path) -> None:
    assert read_problem(written(tmp_path, segments=None)).segments == ()


def test_measured_runs_may_stand_in_for_coordinates(tmp_path: Path) -> None:
    settings = SETTINGS.replace('sites = ["bench", "battery box"]', 'sites = ["bench"]').replace(
        'sites = ["rear door"]', 'sites = ["bench"]'
    )
    loads = LOADS.replace("source,0.2 m", "rear door,0.2 m")
    runs = "load,site,length\nwork lamp,bench,2.8 m\npump,bench,3 m\n"
    places = "place,x [m],y [m],z [m],units\nbattery box,0,0,0,1\nbench,1,0,0,2\nrear door,,,,1\n"
    problem = read_problem(written(tmp_path, problem=settings, loads=loads, segments=None, runs=runs, places=places))
    assert not problem.place["rear door"].located


def parts(thing: Any) -> list[Any]:
    """An object and all dataclass objects inside it."""
    found = [thing]
    for field in fields(thing):
        value = getattr(thing, field.name)
        for item in value if isinstance(value, tuple) else (value,):
            if is_dataclass(item):
                found += parts(item)
    return found


def test_nothing_in_a_problem_can_be_changed(problem: Problem) -> None:
    everything = parts(problem)
    assert len({type(part) for part in everything}) >= 18
    for part in everything:
        for field in fields(part):
            with pytest.raises(FrozenInstanceError):
                setattr(part, field.name, None)
            assert not isinstance(getattr(part, field.name), list | dict | set)
    assert isinstance(hash(problem), int)


def test_a_problem_changed_by_replace_is_checked_again(problem: Problem) -> None:
    with pytest.raises(ProblemError, match="'pump', 'place': 'garage' is not a known place"):
        replace(problem, loads=tuple(replace(load, place="garage") for load in problem.loads if load.item == "pump"))


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("nowhere", "does not exist. Give the path of a problem folder or workbook."),
        ("plan.xlsx", "is not a workbook, whatever its name says. Save it as .xlsx."),
        (
            "plan.xlsb",
            "is a kind of workbook that cannot be read (.xlsb). Open it in a spreadsheet program and save it",
        ),
        ("plan.txt", "is a file, and neither a folder nor a workbook. Give the path of a problem"),
        ("a\0b", "Give the path of a problem folder or workbook."),
    ],
)
def test_a_path_that_is_no_folder_is_refused(tmp_path: Path, name: str, says: str) -> None:
    if name.startswith("plan"):
        (tmp_path / name).write_bytes(b"PK")
    with pytest.raises(ProblemError) as refusal:
        read_problem(tmp_path / name)
    assert says in str(refusal.value)


def test_an_empty_folder_is_told_all_that_it_lacks(tmp_path: Path) -> None:
    with pytest.raises(ProblemError) as refusal:
        read_problem(tmp_path)
    assert str(refusal.value) == (
        "3 mistakes in the input:\n"
        "  problem.toml: is missing. Add this file to the problem folder.\n"
        "  loads.csv: is missing. Add this file to the problem folder.\n"
        "  places.csv: is missing. Add this file to the problem folder."
    )


def test_a_folder_in_place_of_a_table_is_told(tmp_path: Path) -> None:
    written(tmp_path, segments=None)
    (tmp_path / "segments.csv").mkdir()
    with pytest.raises(ProblemError, match=r"segments.csv: cannot be read \(it is a folder, not a file\)"):
        read_problem(tmp_path)


def test_deep_nesting_in_the_settings_is_told(tmp_path: Path) -> None:
    with pytest.raises(ProblemError, match="is not readable as TOML"):
        read_problem(written(tmp_path, problem=SETTINGS + "deep = " + "[" * 100_000))


def test_a_number_of_very_many_figures_is_told(tmp_path: Path) -> None:
    settings = SETTINGS.replace('continuous = "60 A"', "continuous = 0x1" + "0" * 6000)
    with pytest.raises(ProblemError, match="'continuous': 'a very long number' is not a current"):
        read_problem(written(tmp_path, problem=settings))


def test_reading_tables_of_the_package_needs_no_pint() -> None:
    code = (
        "import sys; from allocator.reading import builtin_table; builtin_table('awg');"
        "print([m for m in ('pint', 'pandas', 'pulp', 'networkx') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_segments_that_stand_the_other_way_round_are_told_as_the_same(tmp_path: Path) -> None:
    with pytest.raises(ProblemError, match="row 4, column 'to': 'battery box - bench' appears twice"):
        read_problem(written(tmp_path, segments=SEGMENTS + "bench,battery box,900,,,,\n"))
