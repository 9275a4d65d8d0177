"""Bundles: how many wires, how much they carry, what is left to each; counted from the routes of the layout."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from allocator.checking import check, complete
from allocator.checking.bundles import bundles
from allocator.checking.loading import PACKING
from allocator.layout import DirectCircuit, Feed, FittedUnit, PlacedWire
from allocator.problem import GivenWire, Supply
from allocator.wiring import ampacity_a, bundle_factor, completed, resistance_ohm_m, running_temperature_c
from tests.checking.builders import SHARED, back, circuit, layout, load, out, problem
from tests.checking.cases_bundles import bundled, row

BUNDLE = {"bundle": True}


def counts(given, *circuits, **changes) -> dict[str, int]:
    return {bundle.name: bundle.wires for bundle in bundles(given, layout(*circuits, **changes))}


def loading(given, *circuits, **changes) -> dict[str, dict[str, float]]:
    return {bundle.name: dict(bundle.loading) for bundle in bundles(given, layout(*circuits, **changes))}


def free_a(size: str) -> float:
    return 0.8 * ampacity_a(row(size), 45.0)


def test_the_feed_and_every_wire_that_passes_count():
    # the return ends at the rear, where its load is
    assert counts(problem(margins=BUNDLE)) == {"battery - front": 1, "front - middle": 1, "middle - rear": 1}


def test_a_return_counts_as_its_outgoing_wire_does():
    assert counts(problem(load(return_to="source"), margins=BUNDLE)) == {
        "battery - front": 2, "front - middle": 2, "middle - rear": 2
    }  # fmt: skip


def test_both_wires_of_a_bridge_count():
    assert counts(problem(load(needs=("bridge",)), margins=BUNDLE), circuit(pins="b1 b2"))["middle - rear"] == 2


def test_every_wire_of_a_parallel_group_counts():
    strong = problem(load(current_a=25.0, return_to="source"), margins=BUNDLE)
    assert counts(strong, circuit(pins="b1 b2", size="6 mm2"))["middle - rear"] == 3


def test_the_trunk_of_a_shared_output_counts_once():
    # front - middle: trunk; middle - rear: branch to the lamp, return of the spot
    found = counts(problem(*SHARED, margins=BUNDLE), circuit("lamp spot"))
    assert (found["front - middle"], found["middle - rear"]) == (1, 2)


def test_a_route_that_turns_back_counts_each_pass():
    back_and_forth = out(route=("front", "battery", "front", "middle", "rear"))
    given = problem(margins=BUNDLE)
    assert counts(given, circuit(wires=(back_and_forth,))) == {
        "battery - front": 3, "front - middle": 1, "middle - rear": 1
    }  # fmt: skip


def test_direct_loads_count():
    pump = load("pump", current_a=12.0, supply=Supply.DIRECT, return_to="source")
    given = problem(load(), pump, margins=BUNDLE)
    assert counts(given, direct=(DirectCircuit(load="pump", source="battery"),)) == {
        "battery - front": 3, "front - middle": 3, "middle - rear": 3
    }  # fmt: skip


def test_cores_with_a_current_count_and_others_only_take_room():
    wires = (
        GivenWire(name="live", start="front", end="middle", size="1 mm2", cores=3, current_a=0.1),
        GivenWire(name="dead", start="front", end="middle", size="1 mm2", cores=2),
    )
    found = {b.name: b for b in bundles(problem(given_wires=wires, margins=BUNDLE), layout())}
    assert (found["front - middle"].wires, found["front - middle"].cores) == (4, 6)


def test_a_wire_is_sized_for_the_fullest_segment_it_passes():
    given = problem(load(), load("fan", "middle", 3.0), margins=BUNDLE)
    done = complete(given, layout(circuit(), circuit("fan", "a2")))
    # the return of the fan goes on to the rear
    assert counts(given, circuit(), circuit("fan", "a2")) == {
        "battery - front": 1, "front - middle": 2, "middle - rear": 2
    }  # fmt: skip
    factors = {f"{c.name} {w.role}": w.factor for c in done.circuits for w in c.wires}
    two = bundle_factor(2, 0.6)
    assert factors == {"lamp out": two, "lamp return": 1.0, "fan out": two, "fan return": two}


def test_without_bundles_no_factor_is_taken():
    done = complete(problem(load(return_to="source")), layout())
    assert {wire.factor for wire in done.circuits[0].wires} == {1.0}
    assert (done.units[0].feed.factor, done.bundle_loading) == (1.0, None)


def test_a_given_wire_without_a_current_has_no_factor():
    wires = (GivenWire(name="dead", start="battery", end="rear", size="1 mm2", cores=2),)
    given = problem(load(return_to="source"), given_wires=wires, margins=BUNDLE)
    assert complete(given, layout()).given[0].factor == 1.0


def test_a_feed_in_a_bundle_has_its_factor():
    given = problem(load(return_to="source"), margins=BUNDLE)
    assert complete(given, layout()).units[0].feed.factor == bundle_factor(2, 0.6)


def test_a_wire_that_passes_alone_burns_in_a_bundle():
    """1 mm2 carries a trip of 10 A alone, not beside seven others."""
    loads = [load(f"lamp{n}", current_a=8.0, return_to="source") for n in range(1, 5)]
    circuits = [circuit(one.name, f"a{n}", "1 mm2") for n, one in enumerate(loads, start=1)]
    wide = {"branch_drop": 0.2, "feed_drop": 0.2}
    assert check(problem(*loads, margins=wide), layout(*circuits)).clean
    given = problem(*loads, margins=wide | BUNDLE | {"bundle_loading": 1.0})
    short = [v.amount for v in check(given, layout(*circuits)).violations if v.rule == "wire ampacity"]
    assert short == pytest.approx([10.0 - free_a("1 mm2") * bundle_factor(8, 1.0)] * 8)


def test_loading_is_current_over_ampacity_by_condition():
    conditions = ("day", "night")
    lamp = load(levels=(0.5, 1.0), spread=0.2)
    given = problem(lamp, load("fan", current_a=3.0, levels=(1.0, 0.0)), conditions=conditions, margins=BUNDLE)
    found = loading(given, circuit(), circuit("fan", "a2"))["middle - rear"]
    both = 2 * free_a("1.5 mm2") * bundle_factor(2, 0.6)
    assert found == {"day": pytest.approx(5.0 / both), "night": pytest.approx(4.0 / both)}


def test_a_dimmed_load_heats_more_than_its_level():
    lamp = load(levels=(0.25,), needs=("dim",))
    assert loading(problem(lamp, margins=BUNDLE), circuit(pins="b1"))["middle - rear"] == {
        "all on": pytest.approx(2.0 / free_a("1.5 mm2"))
    }


def test_each_wire_of_a_parallel_group_carries_its_share():
    strong = problem(load(current_a=25.0), margins=BUNDLE)
    wires = (out(size="6 mm2"), out(size="6 mm2"), back(size="6 mm2"))
    found = loading(strong, circuit(pins="b1 b2", wires=wires))["middle - rear"]["all on"]
    assert found == pytest.approx(25.0 / (2 * free_a("6 mm2") * bundle_factor(2, 0.6)))


def test_a_feed_carries_the_current_of_its_unit():
    given = problem(load(spread=0.5), margins=BUNDLE | {"robust": 1})
    units = (FittedUnit(name="main", site="front", feed=Feed(size="10 mm2")),)
    found = loading(given, circuit(), units=units)["battery - front"]["all on"]
    assert found == pytest.approx(6.0 / free_a("10 mm2"))


def columns(given, made) -> dict[str, float | None]:
    return {bundle.name: bundle.column for bundle in bundles(given, made)}


def test_a_segment_that_is_loaded_more_goes_to_the_column_that_serves_and_no_other_does():
    given, made = bundled(None, 7.0, 6.0)
    assert columns(given, made)["middle - rear"] == 0.4
    assert columns(given, made)["battery - front"] == 0.2
    done = complete(given, made)
    assert done.bundle_loading == 0.2
    assert done.circuits[0].wires[0].factor == bundle_factor(2, 0.4)
    assert set(columns(*bundled(None, 4.0, 1.0)).values()) == {0.2}
    assert complete(*bundled(None, 4.0, 1.0, asked=0.5)).bundle_loading == 0.6


def test_wires_that_bear_the_column_of_what_they_carry_keep_the_rules():
    assert check(*bundled(0.2, 7.0, 6.0)).clean


def test_a_stated_column_stays():
    assert complete(*bundled(0.8, 4.0, 1.0)).bundle_loading == 0.8
    assert check(*bundled(0.8, 4.0, 1.0)).clean


def test_a_share_between_two_columns_counts_as_the_one_above():
    assert complete(*bundled(0.3, 4.0, 1.0)).circuits[0].wires[0].factor == bundle_factor(2, 0.4)
    assert complete(*bundled(0.15, 4.0, 1.0)).circuits[0].wires[0].factor == bundle_factor(2, 0.2)


def test_one_wire_alone_may_be_loaded_in_full():
    given = problem(load(current_a=8.0), margins={"bundle": True, "bundle_loading": 0.2, "branch_drop": 0.1})
    assert check(given, layout(circuit(size="1 mm2"), bundle_loading=0.2)).clean


def test_a_problem_without_bundles_has_no_column():
    violations = check(problem(), layout(bundle_loading=0.6)).violations
    assert [v.rule for v in violations] == ["bundle column"]


def test_in_bundles_the_drop_goes_by_the_margin_of_the_trip_and_not_by_the_neighbours():
    wire = row("1.5 mm2")
    hot = running_temperature_c(1.0, 1.25, 45.0, 100.0)
    expected = 4.0 * resistance_ohm_m(wire, hot) * 2.6
    alone = complete(problem(margins=BUNDLE), layout()).circuits[0]
    both = problem(load(), load("fan", current_a=2.0), margins=BUNDLE)
    beside = complete(both, layout(circuit(), circuit("fan", "a2")))
    assert alone.drop_percent == pytest.approx(100.0 * expected / 13.6)
    assert beside.circuits[0].drop_percent == alone.drop_percent


def test_in_bundles_out_and_return_of_a_parallel_group_are_as_hot_as_the_margin_allows():
    given = problem(load(current_a=25.0), margins=BUNDLE)
    done = complete(given, layout(circuit(pins="b1 b2", size="6 mm2"))).circuits[0]
    at = running_temperature_c(1.0, 1.25, 45.0, 100.0)
    six = row("6 mm2")
    expected = 12.5 * resistance_ohm_m(six, at) * 2.3 + 25.0 * resistance_ohm_m(six, at) * 0.3
    assert done.drop_percent == pytest.approx(100.0 * expected / 13.6)


def test_in_bundles_a_feed_counts_as_hot_as_its_class():
    given = problem(margins=BUNDLE)
    done = complete(given, layout(units=(FittedUnit(name="main", site="front", feed=Feed(size="10 mm2")),)))
    expected = 4.0 * resistance_ohm_m(row("10 mm2"), 100.0) * 0.8
    assert done.units[0].feed.drop_percent == pytest.approx(100.0 * expected / 13.6)


def test_diameter_of_one_wire_is_its_own_and_of_several_that_of_a_round_bundle():
    feed = FittedUnit(name="main", site="front", feed=Feed(size="10 mm2"))
    found = {b.name: b.diameter_mm for b in bundles(problem(load(return_to="source")), layout(units=(feed,)))}
    thin, thick = completed(row("1.5 mm2")).diameter_mm, completed(row("10 mm2")).diameter_mm
    assert found["battery - front"] == pytest.approx(sqrt(2 * thick**2 + 2 * thin**2))
    assert found["front - middle"] == pytest.approx(2 * thin)
    alone = {b.name: (b.diameter_mm, b.filled_mm2) for b in bundles(problem(), layout())}
    assert alone["front - middle"] == pytest.approx((thin, pi / 4 * thin**2))


PACKED = {
    2: 2.0, 3: 2.1547, 4: 2.4142, 5: 2.7013, 6: 3.0, 7: 3.0, 8: 3.3048, 9: 3.6131, 10: 3.8130, 11: 3.9238, 12: 4.0296,
    13: 4.2361, 14: 4.3284, 15: 4.5214, 16: 4.6154, 17: 4.7920, 18: 4.8637, 19: 4.8637, 20: 5.1223,
}
"""Least circle around so many alike circles of diameter 1 (Graham, Lubachevsky, Nurmela and Ostergard 1998, Dense
packings of congruent circles in a circle, Discrete Mathematics 181; values from memory)."""


@pytest.mark.parametrize("wires", PACKED)
def test_alike_wires_fit_into_the_bundle_told(wires):
    assert PACKED[wires] <= PACKING * sqrt(wires) * (1 + 1e-9) <= 1.42 * PACKED[wires]


@pytest.mark.parametrize("third", [n / 20 for n in range(1, 21)])
def test_two_alike_wires_and_a_smaller_one_fit_into_the_bundle_told(third):
    """The circle around three that touch each other, by Descartes' theorem; the third in the gap where it fits."""
    bends = (2.0, 2.0, 2.0 / third)
    around = sum(bends) - 2 * sqrt(bends[0] * bends[1] + bends[1] * bends[2] + bends[2] * bends[0])
    least = 2.0 if third <= 2 / 3 else -2.0 / around
    assert least <= PACKING * sqrt(2 + third**2)


def test_a_wire_by_hand_of_no_known_size_has_no_ampacity_but_counts():
    wires = (PlacedWire(role="any", size="3 mm2"),)
    found = bundles(problem(load(return_to="source"), margins=BUNDLE), layout(circuit(wires=wires)))
    assert [(bundle.wires, bundle.diameter_mm) for bundle in found[1:]] == [(2, 0.0), (2, 0.0)]
