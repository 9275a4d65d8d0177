"""The demonstration problems: each is solved, passes the check, and shows what it is there to show.

What a folder is there to show holds with or without bundles, and without them a proof takes seconds: there it is asked
of proven layouts of the same problem with ``bundle = "none"``. How long a proof in bundles takes is for benchmarks.
"""

from __future__ import annotations

import csv
from dataclasses import replace

import pytest

from allocator.checking import check
from allocator.layout import INFEASIBLE, OPTIMAL, Layout
from allocator.problem import SOURCE, Bundling, Fit, Problem, Supply
from allocator.search.solve import solve
from tests import solved as shared
from tests.paths import PROBLEMS
from tests.reporting.lists.opened import assert_sums
from tests.solved import demonstration as problem

NAMES = sorted(path.parent.name for path in PROBLEMS.glob("*/problem.toml"))


def unbundled(name: str) -> Problem:
    return problem(name, bundles=False)


def solved(name: str) -> Layout:
    """The least layout as if each wire lay alone."""
    return shared.solved(name, bundles=False)


def rows(name: str) -> list[dict[str, str]]:
    with (PROBLEMS / name / "loads.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def outputs_used(layout: Layout) -> int:
    assert layout.totals is not None
    return layout.totals.outputs_used


def unit_of(layout: Layout, load: str) -> str:
    return next(circuit.unit for circuit in layout.circuits if load in circuit.loads)


def test_the_demonstrations_are_there() -> None:
    assert {"clinic-van", "clinic-van-unshared", "clinic-van-later"} <= {*NAMES}
    assert {"pilot-boat", "hill-climber", "crop-sprayer"} <= {*NAMES}


@pytest.mark.parametrize("name", NAMES)
def test_each_is_proven_optimal(name: str) -> None:
    layout = solved(name)
    assert (layout.status, layout.gap) == (OPTIMAL, 0.0)


@pytest.mark.parametrize("name", NAMES)
def test_each_layout_passes_the_check_as_written_to_a_file(name: str) -> None:
    report = check(unbundled(name), Layout.from_json(solved(name).to_json()))
    assert [violation.text for violation in report.violations] == []


@pytest.mark.parametrize("name", NAMES)
def test_lists_of_each_opened_again_sum_up_to_the_layout_file(name: str) -> None:
    assert_sums(unbundled(name), Layout.from_json(solved(name).to_json()))


def test_each_is_held_by_the_heat_of_its_bundles() -> None:
    assert {problem(name).margins.bundle for name in NAMES} == {Bundling.HEAT}


def in_bundles(name: str, gap: float) -> Layout:
    """A layout in bundles that passes the check and is dearer than with each wire alone."""
    layout = shared.solved(name, gap=gap)
    assert [violation.text for violation in check(problem(name), layout).violations] == []
    assert (layout.objective_g or 0.0) > (solved(name).objective_g or 0.0)
    assert_sums(problem(name), Layout.from_json(layout.to_json()))
    return layout


def test_the_hill_climber_is_proven_in_bundles() -> None:
    assert in_bundles("hill-climber", 0.0).status == OPTIMAL


@pytest.mark.parametrize("name", ["clinic-van", "crop-sprayer"])
def test_a_layout_in_bundles_is_found_with_its_gap(name: str) -> None:
    """A layout within the gap will do here; how long a proof takes is for benchmarks."""
    layout = in_bundles(name, 0.25)
    assert layout.gap is not None and layout.bound_g is not None
    assert layout.objective_g is not None
    assert layout.gap == pytest.approx((layout.objective_g - layout.bound_g) / layout.objective_g)
    assert layout.gap <= 0.25


@pytest.mark.parametrize("name", NAMES)
def test_each_states_where_its_currents_come_from(name: str) -> None:
    assert all(row["basis"].startswith("common practice") and row["basis"].endswith("no source") for row in rows(name))


def test_the_forms_of_the_clinic_van_differ_only_in_what_they_are_there_for() -> None:
    first = problem("clinic-van")
    assert rows("clinic-van-unshared") == [{**row, "share": ""} for row in rows("clinic-van")]
    assert rows("clinic-van-later")[: len(rows("clinic-van"))] == rows("clinic-van")
    assert len(problem("clinic-van-later").loads) == len(first.loads) + 8
    for name in ("clinic-van-unshared", "clinic-van-later"):
        assert replace(problem(name), name=first.name, loads=first.loads) == first


def test_the_clinic_van_has_a_choice_of_sites_for_both_its_units() -> None:
    assert [len(unit.sites) >= 2 for unit in problem("clinic-van").units] == [True, True]


def test_the_clinic_van_needs_68_outputs_while_nothing_is_shared() -> None:
    assert outputs_used(solved("clinic-van-unshared")) == 68


def test_sharing_saves_copper_and_outputs() -> None:
    shared, alone = solved("clinic-van"), solved("clinic-van-unshared")
    assert shared.objective_g is not None and alone.objective_g is not None
    assert shared.objective_g < alone.objective_g
    assert outputs_used(shared) < outputs_used(alone)


def test_dipped_headlamps_hang_on_both_units_of_the_clinic_van() -> None:
    """No single unit may take both away, so one is fed from the far unit."""
    layout = solved("clinic-van")
    assert unit_of(layout, "dipped lamp left") != unit_of(layout, "dipped lamp right")


@pytest.mark.parametrize("name", ["clinic-van", "pilot-boat", "hill-climber", "crop-sprayer"])
def test_direct_loads_hang_on_a_source_and_on_no_unit(name: str) -> None:
    layout = solved(name)
    direct = {load.name for load in problem(name).loads if load.supply is Supply.DIRECT}
    assert direct and {circuit.load for circuit in layout.direct} == direct
    assert direct.isdisjoint(load for circuit in layout.circuits for load in circuit.loads)


@pytest.mark.parametrize("name", ["clinic-van", "pilot-boat"])
def test_given_wires_are_placed_as_given(name: str) -> None:
    given = {wire.name: (wire.size, wire.cores) for wire in problem(name).given_wires}
    assert given and {run.wire: (run.size, run.cores) for run in solved(name).given} == given


def test_starts_cost_something_in_the_clinic_van() -> None:
    """Without them every layout is still possible, so a dearer answer can only come from the starts."""
    van = unbundled("clinic-van")
    idle = solve(replace(van, loads=tuple(replace(load, inrush_a=None, inrush_s=None) for load in van.loads)))
    assert idle.objective_g is not None and idle.objective_g < (solved("clinic-van").objective_g or 0.0)


def test_the_pilot_boat_has_no_chassis() -> None:
    boat = problem("pilot-boat")
    assert len(boat.loads) >= 60
    assert all(load.return_to == SOURCE for load in boat.loads if not load.bridge)


def test_the_third_unit_of_the_pilot_boat_is_fitted_because_the_others_cannot_do() -> None:
    boat = unbundled("pilot-boat")
    assert [unit.name for unit in boat.units if unit.fit is Fit.IF_NEEDED] == ["deck"]
    assert "deck" in [unit.name for unit in solved("pilot-boat").units]
    without = replace(boat, units=tuple(unit for unit in boat.units if unit.name != "deck"))
    assert solve(without).status == INFEASIBLE


def test_the_hill_climber_cannot_do_without_sharing() -> None:
    car = unbundled("hill-climber")
    assert len(car.units) == 1
    assert solve(replace(car, loads=tuple(replace(load, share=None) for load in car.loads))).status == INFEASIBLE


def test_the_crop_sprayer_fits_all_four_units() -> None:
    sprayer = problem("crop-sprayer")
    assert len(sprayer.loads) >= 90 and len(sprayer.bulkheads) == 2
    assert len(solved("crop-sprayer").units) == 4
