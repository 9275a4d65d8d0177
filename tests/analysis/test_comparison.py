from __future__ import annotations

from dataclasses import FrozenInstanceError, replace

import pytest

from allocator.analysis.comparison import compare
from allocator.analysis.failures import failures
from allocator.analysis.margins import margins
from allocator.analysis.unit_loading import loadings
from allocator.checking import check
from allocator.evaluation.complete import complete
from allocator.layout import FittedUnit, Layout, PlacedWire
from tests.checking.builders import SHARED, circuit, layout, load, problem, shared_circuit, unit
from tests.checking.rich import rich_layout, rich_problem

CART = problem(load("lamp"), load("fan", "middle", 6.0))
ONE = layout(circuit("lamp", "a1"), circuit("fan", "a2"))


def two(other: Layout, given=CART, first: Layout = ONE):
    return compare(given, {"one": first, "other": other})


def differing(other: Layout, given=CART, first: Layout = ONE) -> dict[tuple[str, ...], bool]:
    """Loads of the circuits that differ, and whether only pins do."""
    return {found.loads: found.pins_only for found in two(other, given, first).circuits}


def test_each_layout_is_completed_and_held_against_every_rule():
    poor = layout(circuit("lamp", "a1", "0.35 mm2"), circuit("fan", "a2"))
    found = two(poor)
    for own, stated in zip(found.layouts, (ONE, poor), strict=True):
        assert own.layout == complete(CART, stated)
        assert own.violations == check(CART, stated).violations
        assert own.weakest == margins(CART, stated).weakest()
        assert own.loadings == loadings(CART, own.layout)
        assert own.failures == failures(CART, stated)
    assert not found.layouts[0].violations
    assert found.layouts[1].violations
    assert list(found.violation_frame()["layout"].unique()) == ["other"]


def test_figures_stand_side_by_side():
    thick = layout(circuit("lamp", "a1", "2.5 mm2"), circuit("fan", "a2"))
    frame = two(thick).frame()
    assert list(frame.columns) == ["one", "other"]
    assert frame.loc["copper_g", "other"] > frame.loc["copper_g", "one"]
    assert frame.loc["outputs_used", "one"] == 2
    assert frame.loc["violations", "one"] == 0


def test_a_layout_beside_itself_does_not_differ():
    assert (differing(ONE), two(ONE).units) == ({}, ())


def test_circuits_in_another_order_do_not_differ():
    assert differing(replace(ONE, circuits=ONE.circuits[::-1])) == {}


@pytest.mark.parametrize(
    "changed",
    [circuit("lamp", "a1", "2.5 mm2"), circuit("lamp", "b1", "1.5 mm2"), circuit("lamp", "a1", trip_a=9.0)],
    ids=["wire", "class", "trip"],
)
def test_a_circuit_with_another_wire_class_or_trip_differs(changed):
    assert differing(layout(changed, circuit("fan", "a2"))) == {("lamp",): False}


def test_other_pins_of_the_same_class_are_told_apart_from_that():
    swapped = layout(circuit("lamp", "a2"), circuit("fan", "a1"))
    assert differing(swapped) == {("lamp",): True, ("fan",): True}


def test_loads_that_one_layout_joins_and_another_does_not_are_one_difference():
    given = problem(*SHARED, load("fan"))
    apart = layout(circuit("lamp", "a1"), circuit("spot", "a2"), circuit("fan", "a3"))
    (found,) = two(layout(shared_circuit(), circuit("fan", "a3")), given, apart).circuits
    assert found.loads == ("lamp", "spot")
    assert [len(ways) for ways in found.ways] == [2, 1]


def test_the_copper_of_what_differs_adds_up_to_the_difference_in_branch_copper():
    other = layout(circuit("lamp", "a3", "2.5 mm2"), circuit("fan", "a2", "6 mm2"))
    found = two(other)
    here, there = (one.totals.branch_copper_g for one in found.layouts)
    parts = [one.copper_g[1] - one.copper_g[0] for one in found.circuits]
    assert sum(parts) == pytest.approx(there - here, abs=1e-3)


def test_a_load_that_one_layout_leaves_out_differs():
    assert differing(layout(circuit("lamp", "a1"))) == {("fan",): False}


def test_a_unit_at_another_site_or_not_fitted_differs():
    given = replace(CART, units=(unit(), unit("aux", sites=("middle", "rear"))))
    units = (FittedUnit(name="main", site="front"), FittedUnit(name="aux", site="middle"))
    first = replace(ONE, units=units)
    moved = replace(ONE, units=(units[0], replace(units[1], site="rear")))
    for other, sites in ((moved, ["middle", "rear"]), (ONE, ["middle", None])):
        (found,) = two(other, given, first).units
        assert found.unit == "aux"
        assert [None if one is None else one.site for one in found.fitted] == sites


def test_nonsense_is_compared_all_the_same():
    odd = Layout(
        problem="x",
        units=(FittedUnit(name="ghost", site="moon"), FittedUnit(name="main", site="moon")),
        circuits=(
            circuit("nobody", "z9"),
            circuit("lamp", "a1", unit="ghost"),
            circuit("fan", "a1", wires=(PlacedWire(role="out", size="9 mm2", route=("moon", "sun")),)),
        ),
    )
    found = two(odd)
    assert found.layouts[1].violations
    assert ("nobody",) in differing(odd)
    for frame in (found.circuit_frame(), found.failure_frame(), found.loading_frame(), found.length_frame()):
        assert len(frame)


def test_a_layout_that_uses_every_feature_is_compared_with_one_that_leaves_half_of_it_out():
    given, whole = rich_problem(), rich_layout()
    half = replace(whole, circuits=whole.circuits[:2], direct=())
    found = two(half, given, whole)
    assert not found.layouts[0].violations
    assert {one.loads for one in found.circuits} >= {("fan",), ("winch",), ("torch",), ("pump",)}
    frame = found.loading_frame()
    assert set(frame["condition"]) == {*given.conditions}


def test_nothing_at_all_is_refused():
    with pytest.raises(ValueError, match="No layout to compare"):
        compare(CART, {})


def test_a_comparison_is_frozen():
    with pytest.raises(FrozenInstanceError):
        two(ONE).circuits = ()
