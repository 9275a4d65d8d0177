from __future__ import annotations

from dataclasses import FrozenInstanceError, replace
from importlib import import_module

import pytest

from allocator.checking import check
from allocator.layout import FEASIBLE, INFEASIBLE, NOTHING_FOUND, OPTIMAL, Layout
from allocator.problem import GivenWire, Problem, Supply, Unit
from allocator.reading import read_problem
from allocator.reporting.revisions import revised
from allocator.reporting.text import plain
from allocator.revising import Revision, revise
from allocator.search import driver
from allocator.search.solve import solve
from tests.cli.example import write_example
from tests.engine.damages import DAMAGES
from tests.engine.draws import ALL, TINY, draw
from tests.model.cases import FAILS, FITS, problem
from tests.oracle.revision import least_revision
from tests.revising.changed import before


@pytest.fixture(scope="module")
def trailer(tmp_path_factory) -> Problem:
    return read_problem(write_example(tmp_path_factory.mktemp("revise")))


@pytest.fixture(scope="module")
def built(trailer) -> Layout:
    return solve(trailer)


def with_load(problem: Problem, name: str, **changes: object) -> Problem:
    loads = tuple(replace(x, **changes) if x.name == name else x for x in problem.loads)  # type: ignore[arg-type]
    return replace(problem, loads=loads)


def without(problem: Problem, *names: str) -> Problem:
    return replace(problem, loads=tuple(load for load in problem.loads if load.name not in names))


def added(problem: Problem, like: str, name: str, **changes: object) -> Problem:
    load = replace(problem.load[like], name=name, item=name, **changes)  # type: ignore[arg-type]
    return replace(problem, loads=(*problem.loads, load))


def what(revision: Revision, of: str) -> str:
    (change,) = [change for change in revision.changes if change.of == of]
    return change.what


def circuit(layout: Layout | None, load: str):
    assert layout is not None
    return next(circuit for circuit in layout.circuits if load in circuit.loads)


def wires(revision: Revision, kind: str) -> list[tuple[str, str]]:
    return [(wire.circuit, wire.role) for wire in revision.wires if wire.what == kind]


# ---- what is as it was ----------------------------------------------------------------------------------------


def test_where_nothing_has_changed_everything_stays_and_nothing_is_made(trailer, built):
    revision = revise(trailer, built)
    assert {change.what for change in revision.changes} == {"stays"}
    assert (revision.status, revision.moves, revision.new_copper_g, revision.removed_copper_g) == (OPTIMAL, 0, 0, 0)
    assert revision.layout is not None
    assert [(c.name, c.pins, c.wires) for c in revision.layout.circuits] == [
        (c.name, c.pins, c.wires) for c in built.circuits
    ]
    assert revision.layout.status == OPTIMAL


def test_a_revision_of_nothing_costs_the_outputs_that_stay_unused(trailer, built):
    # two outputs of 15 g are neither used nor spare
    assert revise(trailer, built, free=False).objective_g == pytest.approx(30.0)


def test_a_circuit_that_stays_keeps_pins_that_the_engine_would_not_have_given_it(trailer, built):
    pins = {"5": "9", "9": "5"}
    odd = replace(built, circuits=tuple(replace(c, pins=tuple(pins.get(p, p) for p in c.pins)) for c in built.circuits))
    revision = revise(added(trailer, "scales", "fan", current_a=1.0), odd, free=False)
    assert circuit(revision.layout, "scales").pins == ("9",)
    assert circuit(revision.layout, "fan").pins != ("9",)
    assert what(revision, "scales") == "stays"


def test_a_wire_heavier_than_it_need_be_stays(trailer, built):
    heavy = tuple(
        replace(c, wires=tuple(replace(w, size="1 mm2", copper_g=None, wire_g=None) for w in c.wires))
        if c.loads == ("scales",)
        else c
        for c in built.circuits
    )
    revision = revise(trailer, replace(built, circuits=heavy, totals=None, objective_g=None), free=False)
    assert [wire.size for wire in circuit(revision.layout, "scales").wires] == ["1 mm2", "1 mm2"]
    assert revision.new_copper_g == 0.0


def test_a_hand_made_layout_can_be_revised(trailer, built):
    bare = "".join(
        f'{{"loads": {list(c.loads)}, "unit": "main", "pins": {list(c.pins)}, "size": "4 mm2"}},'.replace("'", '"')
        for c in built.circuits
        if c.loads == ("extractor drum",)
    )
    text = (
        '{"format": "allocator-layout/1", "units": [{"name": "main", "site": "left wall"}], "circuits": ['
        f"{bare.rstrip(',')}]}}"
    )
    revision = revise(trailer, Layout.from_json(text), free=False)
    assert what(revision, "extractor drum") == "stays"
    assert what(revision, "scales") == "new"
    assert [wire.size for wire in circuit(revision.layout, "extractor drum").wires] == ["4 mm2", "4 mm2"]


# ---- what has changed -----------------------------------------------------------------------------------------


def test_a_load_added_is_new_and_all_else_stays(trailer, built):
    revision = revise(added(trailer, "scales", "fan", current_a=1.0), built)
    assert [change.of for change in revision.changes if change.what != "stays"] == ["fan"]
    assert wires(revision, "new") == [("fan", "out"), ("fan", "return")]
    assert wires(revision, "removed") == []


def test_a_load_removed_leaves_its_wires_to_be_removed(trailer, built):
    revision = revise(without(trailer, "scales"), built, free=False)
    assert what(revision, "scales") == "removed"
    assert wires(revision, "removed") == [("scales", "out"), ("scales", "return")]
    assert (revision.moves, wires(revision, "new")) == (0, [])


def test_the_rest_of_a_shared_circuit_stays_when_one_of_its_loads_goes(trailer, built):
    revision = revise(without(trailer, "ceiling lamp 2"), built, free=False)
    assert what(revision, "ceiling lamp 1") == what(revision, "door lamp") == "stays"
    assert {role for _, role in wires(revision, "removed")} == {"branch", "return"}
    assert wires(revision, "new") == []
    # three wires meet at the bench still: out, lamp, door
    assert [splice.count for splice in circuit(revision.layout, "door lamp").splices] == [1]


def test_a_load_that_has_grown_past_its_wire_is_made_anew_and_the_reason_is_said(trailer, built):
    revision = revise(with_load(trailer, "scales", current_a=4.4, max_drop=0.01), built, free=False)
    (change,) = [change for change in revision.changes if change.of == "scales"]
    assert (change.what, revision.moves) == ("replaced", 0)
    assert change.reason == "its wires lose too much voltage on the way to scales, or no return carries its trip"


def test_a_load_that_has_grown_within_its_wire_stays_with_a_new_trip(trailer, built):
    revision = revise(with_load(trailer, "scales", current_a=0.9), built, free=False)
    assert what(revision, "scales") == "stays"
    assert circuit(built, "scales").trip_a == 0.5
    assert circuit(revision.layout, "scales").trip_a == 1.25


def test_a_load_that_has_moved_is_made_anew(trailer, built):
    revision = revise(with_load(trailer, "scales", place="door"), built, free=False)
    (change,) = [change for change in revision.changes if change.of == "scales"]
    assert (change.what, change.reason) == ("replaced", "scales is at door now")


def test_a_return_is_made_anew_alone_where_a_nearer_stud_has_come(trailer, built):
    places = tuple(replace(p, stud_a=40.0) if p.name == "bench" else p for p in trailer.places)
    revision = revise(replace(trailer, places=places), built, free=False)
    assert what(revision, "scales") == "stays"
    assert ("scales", "return") in wires(revision, "new")
    assert ("scales", "out") not in wires(revision, "new")


def test_a_way_that_has_grown_makes_the_wire_too_short(trailer, built):
    segments = tuple(
        replace(s, length_m=2.0) if {s.start, s.end} == {"left wall", "bench"} else s for s in trailer.segments
    )
    revision = revise(replace(trailer, segments=segments), built, free=False)
    (change,) = [change for change in revision.changes if change.of == "scales"]
    assert change.reason == "its wire of 1.20 m is now too short: 2.30 m is needed"


def test_an_output_pinned_for_another_load_is_given_up(trailer, built):
    taken = circuit(built, "scales").pins[0]
    changed = added(trailer, "scales", "fan", unit="main", output=taken)
    revision = revise(changed, built, free=False)
    (change,) = [change for change in revision.changes if change.of == "scales"]
    assert change.what == "replaced"
    assert change.reason == f"output '{taken}' is kept for the load pinned to it"
    assert circuit(revision.layout, "fan").pins == (taken,)


def test_a_unit_that_may_no_longer_sit_where_it_is_takes_all_with_it(trailer, built):
    units = (replace(trailer.units[0], sites=("bench",)),)
    revision = revise(replace(trailer, units=units), built, free=False)
    assert {change.what for change in revision.changes} == {"replaced"}
    assert {change.reason for change in revision.changes} == {"unit main can no longer sit at left wall"}


def test_of_two_circuits_on_one_output_the_second_cannot_stay(trailer, built):
    twice = tuple(
        replace(c, pins=circuit(built, "ceiling lamp 1").pins) if c.loads == ("scales",) else c for c in built.circuits
    )
    revision = revise(trailer, replace(built, circuits=twice), free=False)
    assert dict(revision.reasons)["scales"] == "its output is used twice"


def test_a_load_called_as_the_feed_of_a_unit_takes_no_feed_with_it(trailer, built):
    name = "feed of main"
    renamed = replace(trailer, loads=tuple(replace(x, name=name) if x.name == "scales" else x for x in trailer.loads))
    pins = circuit(built, "ceiling lamp 1").pins

    def wrong(own):
        wires = tuple(replace(wire, loads=(name,) if wire.loads else ()) for wire in own.wires)
        return replace(own, name=name, loads=(name,), wires=wires, pins=pins)

    circuits = tuple(wrong(c) if c.loads == ("scales",) else c for c in built.circuits)
    revision = revise(renamed, replace(built, circuits=circuits), free=False)
    assert dict(revision.reasons)[name] == "its output is used twice"
    assert [change.what for change in revision.changes if change.of == name] == ["replaced", "stays"]


def test_with_a_unit_added_what_is_built_stays_on_its_own(trailer, built):
    second = Unit(name="second", type="nine outputs", sites=("bench",), source="battery")
    revision = revise(replace(trailer, units=(*trailer.units, second)), built, free=False)
    assert what(revision, "feed of second") == "new"
    assert {what(revision, load.name) for load in trailer.loads} == {"stays"}


def test_units_that_are_alike_keep_their_own_circuits(trailer):
    wide = tuple(replace(p, units=2) if p.name == "left wall" else p for p in trailer.places)
    units = tuple(
        Unit(name=name, type="nine outputs", sites=("left wall", "bench"), source="battery") for name in ("a", "b")
    )
    loads = tuple(replace(x, unit="b" if x.name == "scales" else "a") for x in trailer.loads)
    layout = solve(replace(trailer, places=wide, units=units, loads=loads))
    revision = revise(replace(trailer, places=wide, units=units), layout, free=False)
    assert {change.what for change in revision.changes} == {"stays"}
    assert circuit(revision.layout, "scales").unit == "b"


def test_a_unit_that_is_gone_has_all_its_loads_made_anew(trailer, built):
    other = replace(built, units=(replace(built.units[0], name="old"),))
    other = replace(other, circuits=tuple(replace(c, unit="old") for c in built.circuits))
    revision = revise(trailer, other, free=False)
    assert what(revision, "feed of old") == "removed"
    assert what(revision, "feed of main") == "new"
    reasons = {change.reason for change in revision.changes if change.what == "replaced"}
    assert reasons == {"unit old is no longer there"}


def test_a_feed_that_a_hand_leaves_out_is_not_taken_for_built(trailer, built):
    bare = replace(built, status="hand-made", units=(replace(built.units[0], feed=None),), totals=None)
    revision = revise(trailer, bare, free=False)
    (change,) = [change for change in revision.changes if change.of == "feed of main"]
    assert (change.what, change.reason) == ("replaced", "the layout does not say what feeds it")
    assert ("feed of main", "feed") in wires(revision, "new")


@pytest.fixture(scope="module")
def with_direct(trailer) -> tuple[Problem, Layout]:
    """The trailer with its scales fused at the source and a pair of data wires."""
    direct = with_load(trailer, "scales", supply=Supply.DIRECT)
    data = GivenWire(name="data", start="bench", end="door", size="0.5 mm2", cores=2)
    problem = replace(direct, given_wires=(data,))
    return problem, solve(problem)


def test_direct_loads_and_given_wires_stay(with_direct):
    problem, layout = with_direct
    revision = revise(problem, layout)
    assert (what(revision, "scales"), revision.new_copper_g, revision.moves) == ("stays", 0.0, 0)
    assert revision.objective_g == pytest.approx(15.0 * 3)  # outputs left unused
    assert revision.free is not None
    assert (revision.free.moves, revision.free.new_copper_g) == (0, 0.0)


def test_a_direct_load_that_has_grown_is_made_anew(with_direct):
    problem, layout = with_direct
    for current, reason in (
        (4.0, "its wires lose too much voltage on the way to scales, or no return carries its fuse"),
        (12.0, "its 0.5 mm2 wire does not carry 15 A of trip or fuse, or is off the shelf"),
    ):
        revision = revise(with_load(problem, "scales", current_a=current), layout, max_moves=0, free=False)
        (change,) = [change for change in revision.changes if change.of == "scales"]
        assert (change.what, change.reason) == ("replaced", reason)
        assert ("scales", "out") in wires(revision, "new")
        assert ("scales", "out") in wires(revision, "removed")


def test_a_load_that_goes_from_the_source_to_a_unit_is_made_anew(with_direct, trailer):
    _, layout = with_direct
    revision = revise(trailer, layout, free=False)
    (change,) = [change for change in revision.changes if change.of == "scales"]
    assert (change.what, change.unit_before, change.unit) == ("replaced", "battery", "main")
    assert ("data", "given") in wires(revision, "removed")


def test_a_given_wire_of_another_size_is_made_anew(with_direct):
    problem, layout = with_direct
    given = (replace(problem.given_wires[0], size="1 mm2"),)
    revision = revise(replace(problem, given_wires=given), layout, free=False)
    assert wires(revision, "new") == wires(revision, "removed") == [("data", "given")] * 2
    assert revision.objective_g == pytest.approx(15.0 * 3 + revision.new_copper_g)


def test_what_a_layout_has_wrong_is_made_anew(trailer, built):
    lamps = circuit(built, "door lamp")
    twice = replace(lamps, splices=tuple(replace(splice, count=2) for splice in lamps.splices))
    wrong = replace(built, circuits=tuple(twice if c is lamps else c for c in built.circuits))
    revision = revise(trailer, wrong, free=False)
    assert dict(revision.reasons) == {lamps.name: "its splices are not the ones that its wires need now"}


def test_a_damaged_layout_is_revised_to_one_that_passes_the_check():
    for seed in (500, 506, 518):
        problem = draw(seed, TINY, ALL)
        layout = solve(problem)
        for damage in DAMAGES.values():
            for spoilt in list(damage(problem, layout))[:1]:
                revision = revise(problem, spoilt, free=False)
                assert revision.layout is not None or revision.status == INFEASIBLE


# ---- moves ----------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def crowded(trailer) -> tuple[Problem, Layout]:
    """Three lamps, each on an output of its own; they could share."""
    alone = replace(trailer, loads=tuple(replace(x, share=None) for x in trailer.loads))
    return trailer, solve(alone)


def test_moving_pays_only_above_its_price(crowded):
    problem, layout = crowded
    dear, cheap = (revise(problem, layout, move_g=grams, free=False) for grams in (60.0, 0.0))
    assert dear.moves == 0
    assert cheap.moves == 0  # copper is sunk: a shared wire would have to be made
    assert cheap.objective_g == dear.objective_g


def test_what_must_move_moves_and_too_few_moves_are_refused_with_the_least(trailer):
    # the drum wants a heavy output: the warmer has two of the three, and the scales were put on the third
    first = with_load(without(trailer, "extractor drum"), "scales", unit="main", output="3")
    layout = solve(first)
    revision = revise(trailer, layout, free=False)
    assert [change.of for change in revision.changes if change.what == "moved"] == ["scales"]
    assert circuit(revision.layout, "extractor drum").pins == ("3",)
    frozen = revise(trailer, layout, max_moves=0, free=False)
    assert (frozen.status, frozen.layout, frozen.least_moves) == (INFEASIBLE, None, 1)
    assert revise(trailer, layout, max_moves=1, free=False).objective_g == revision.objective_g


def test_more_moves_are_never_worse(crowded):
    problem, layout = crowded
    objectives = [revise(problem, layout, max_moves=n, move_g=0.0, free=False).objective_g for n in (0, 1, 2, 5)]
    assert objectives == sorted(objectives, reverse=True)


def test_with_resite_a_unit_moves_where_that_pays(trailer, built):
    battery = tuple(replace(s, place="bench") for s in trailer.sources)
    moved = replace(trailer, sources=battery)
    stays, free = revise(moved, built, free=False), revise(moved, built, resite=True, move_g=0.0, free=False)
    assert stays.objective_g is not None and free.objective_g is not None
    assert free.objective_g <= stays.objective_g
    assert {u.name: u.site for u in stays.layout.units} == {"main": "left wall"}  # type: ignore[union-attr]


# ---- what is said of it ---------------------------------------------------------------------------------------


def test_the_free_layout_bounds_the_revised_one(trailer, built):
    revision = revise(added(trailer, "scales", "pump", current_a=2.0), built)
    assert revision.layout is not None and revision.free is not None
    anew = revision.free.layout
    assert revision.layout.bound_g == pytest.approx(anew.objective_g)
    assert revision.saved_by_free_g == pytest.approx(revision.layout.objective_g - anew.objective_g)  # type: ignore[operator]
    assert revision.saved_by_free_g >= 0.0


def test_the_free_layout_of_what_has_not_changed_moves_nothing(trailer, built):
    free = revise(trailer, built).free
    assert free is not None
    assert (free.moves, free.new_copper_g) == (0, 0.0)


def test_copper_that_stays_and_is_new_is_all_there_is(trailer, built):
    revision = revise(added(trailer, "scales", "fan"), built, free=False)
    assert revision.layout is not None and revision.layout.totals is not None
    assert revision.sunk_copper_g + revision.new_copper_g == pytest.approx(revision.layout.totals.copper_g, abs=0.002)


def test_a_search_without_time_finds_nothing_and_says_so(trailer, built):
    revision = revise(trailer, built, time_limit_s=0.0, free=False)
    assert (revision.status, revision.layout) in ((NOTHING_FOUND, None), (OPTIMAL, revision.layout))


@pytest.mark.parametrize("wrong", [{"max_moves": -1}, {"move_g": -1.0}])
def test_negative_limits_are_refused(trailer, built, wrong):
    with pytest.raises(ValueError, match="0 or more"):
        revise(trailer, built, **wrong)


def test_tables_have_a_row_for_each_load_feed_and_wire(trailer, built):
    revision = revise(trailer, built, free=False)
    assert len(revision.frame()) == len(trailer.loads) + 1
    assert set(revision.wire_frame()["what"]) == {"stays"}


def test_a_revision_is_frozen(trailer, built):
    with pytest.raises(FrozenInstanceError):
        revise(trailer, built, free=False).status = "other"  # type: ignore[misc]


# ---- against trying everything ---------------------------------------------------------------------------------


def accounted_g(problem: Problem, before: Layout, revision: Revision) -> float:
    """The objective of a revision added up from what it says of each wire and load."""
    layout, prices = revision.layout, problem.prices
    assert layout is not None and layout.totals is not None
    stay = {change.of for change in revision.changes if change.what == "stays"}
    new = [c for c in layout.circuits if not {*c.loads} <= stay]
    splices = sum(s.count for c in new for s in c.splices)
    mass = sum(problem.unit_type[u.type].mass_g for u in layout.units if u.name not in {x.name for x in before.units})
    return (
        revision.new_copper_g
        + prices.splice_g * splices
        + prices.used_output_g * sum(len(c.pins) for c in new)
        + prices.unused_output_g * layout.totals.outputs_unused
        + prices.unit_mass * mass
        + revision.move_g * revision.moves
    )


def compared(seed: int, move_g: float, *, resite: bool) -> tuple[list[str], int]:
    """What differs from trying everything in one draw, and how many moves were made in it."""
    problem = draw(seed, TINY, ALL)
    old = before(problem, seed)
    layout = None if old is None else solve(old)
    if layout is None or layout.objective_g is None:
        return [], 0
    faults, moves, last = [], 0, float("inf")
    for most in (0, 1, 2, None):
        revision = revise(problem, layout, max_moves=most, move_g=move_g, resite=resite, free=False)
        least = least_revision(problem, layout, move_g, most, resite=resite)
        told = f"seed {seed}, at most {most} moves: {revision.status} {revision.objective_g} g, trying all {least} g"
        if least is None:
            faults += [told] * (revision.status != INFEASIBLE)
            continue
        if revision.objective_g is None or abs(revision.objective_g - least) > 1e-3:
            faults.append(told)
            continue
        if revision.objective_g > last + 1e-6 or abs(accounted_g(problem, layout, revision) - least) > 2e-3:
            faults.append(f"{told}; added up {accounted_g(problem, layout, revision)} g")
        if revision.layout is None or not check(problem, revision.layout).clean:
            faults.append(f"{told}; and its layout is refused")
        last = revision.objective_g
        moves = max(moves, revision.moves)
    return faults, moves


@pytest.mark.parametrize(
    ("seeds", "move_g", "resite"),
    [
        pytest.param((0, 2, 3, 4, 7, 8, 11, 13, 16), 60.0, False, id="moving is dear"),
        pytest.param((13, 25, 34, 42, 55, 65, 89, 122, 137), 3.001, False, id="moving is cheap"),
        pytest.param((0, 13, 25, 34, 42, 80, 81, 84, 89), 3.001, True, id="units may move"),
    ],
)
def test_drawn_problems_are_revised_as_by_trying_everything(seeds, move_g, resite):
    found = [compared(seed, move_g, resite=resite) for seed in seeds]
    assert [fault for faults, _ in found for fault in faults] == []
    assert sum(moves > 0 for _, moves in found) >= 1


def test_so_they_are_where_options_are_fixed_and_a_layout_is_looked_for_among_few(monkeypatch) -> None:
    for name, number in {"FEW": 6, "FEW_A_LOAD": 0, "FIRST": 1, "MANY": 1}.items():
        monkeypatch.setattr(driver, name, number)
    found = [compared(seed, 3.001, resite=seed % 2 == 0) for seed in (13, 25, 34, 42, 80)]
    assert [fault for faults, _ in found for fault in faults] == []
    assert sum(moves > 0 for _, moves in found) >= 1


def test_a_wire_that_loses_too_much_among_wires_that_got_warmer_is_made_anew() -> None:
    """A lamp between two heaters that draw more than when it was built: its wire is still among the options."""
    cooler, warmer = (problem("drops_between_warm_bundles", which) for which in (FITS, FAILS))
    thin = cooler.wires.wires[0]
    table = replace(cooler.wires, wires=(thin, replace(thin, size="16 g/m", area_mm2=1.6 * thin.area_mm2)))
    built = solve(replace(cooler, wires=table))
    revision = revise(replace(warmer, wires=table), built, time_limit_s=60.0)
    assert revision.status == OPTIMAL
    assert revision.layout is not None
    sizes = {circuit.name: circuit.wires[0].size for circuit in revision.layout.circuits}
    # one thicker wire is enough: that of the lamp loses less, that of a heater gives less heat
    anew = {change.of for change in revision.changes if change.what != "stays"}
    assert len(anew) == 1
    assert sizes == {name: "16 g/m" if name in anew else "10 g/m" for name in ("heater 1", "heater 2", "lamp")}
    assert revision.objective_g == pytest.approx(95.0)


@pytest.mark.parametrize(
    ("asked", "limit_s"), [({}, 20.0), ({"exact": True}, None), ({"time_limit_s": 600.0}, 600.0)], ids=str
)
def test_starting_afresh_has_20_s_unless_it_is_to_be_exact(trailer, built, monkeypatch, asked, limit_s):
    """What it would save is then a range: down to what it found, and up to what is proven of it."""
    limits = []

    def half_way(problem, *, time_limit_s, **how):
        limits.append(time_limit_s)
        found = solve(problem, **how)
        return replace(found, status=FEASIBLE, bound_g=found.objective_g - 2.5, gap=0.01)

    module = import_module("allocator.revising.revise")
    monkeypatch.setattr(module, "solve", half_way)
    revision = revise(added(trailer, "scales", "fan", current_a=1.0), built, **asked)
    assert limits == [pytest.approx(limit_s, abs=60.0)] if limit_s else limits == [None]
    assert revision.saved_by_free_g is not None
    assert revision.saved_at_most_g == pytest.approx(revision.saved_by_free_g + 2.5)
    least, most = revision.saved_by_free_g, revision.saved_at_most_g
    shown = " ".join(plain(revised(trailer, revision)).split())
    assert f"would have saved {least:.1f} to {most:.1f} g in the objective" in shown
