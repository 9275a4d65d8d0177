"""Trees of shared outputs and single wires, against figures worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from typing import Any

import pytest

from allocator.options import Option, OptionList, list_options
from allocator.options.single_loads import cheapest_pairs
from allocator.options.wiring_plan import drop_limit_v
from allocator.problem import Bundling, Load, Margins, Place, Problem, Run, Segment, Wire, WireRules, WireTable
from allocator.wiring import ampacity_a
from tests.problem.samples import load, output, problem, unit_type

ONE_MM2 = Wire(size="1 mm2", area_mm2=1.0, insulation_c=105.0, resistance_mohm_m=20.0)
TWO_MM2 = replace(ONE_MM2, size="2 mm2", area_mm2=2.0, resistance_mohm_m=10.0)
FORK = (
    Segment(start="box", end="bench", length_m=1.0),
    Segment(start="bench", end="fork", length_m=1.0),
    Segment(start="fork", end="left", length_m=2.0),
    Segment(start="fork", end="right", length_m=3.0),
)
LEFT = load("left lamp", place="left", current_a=2.0, share="lamps", lead_m=0.1)
RIGHT = load("right lamp", place="right", current_a=3.0, share="lamps")


def forked(*loads: Load, sizes: tuple[Wire, ...] = (ONE_MM2,), wet: bool = False, **changed: object) -> Problem:
    places = [Place(name=name) for name in ("box", "bench", "left", "right")]
    values = {
        "loads": loads or (LEFT, RIGHT),
        "places": (*places, Place(name="fork", wet=wet)),
        "segments": FORK,
        "wires": WireTable(name="by hand", wires=sizes),
        "unit_types": (unit_type(output(trip_step_a=0.5)),),
        "ambient_c": 45.0,
        "margins": Margins(bundle=Bundling.NONE, tail_m=0.3, ground_lead_m=0.3, branch_drop=0.2),
        **changed,
    }
    return problem(**values)


def shared(option_list: OptionList) -> list[Option]:
    return [option for option in option_list.options if not option.candidate.single]


def volts(current_a: float, length_m: float, mohm_m: float = 20.0) -> float:
    """Drop of one wire of a square millimetre at 45 degC, at the temperature it runs at."""
    share = current_a / (0.8 * ampacity_a(ONE_MM2, 45.0))
    running_c = 45.0 + 60.0 * sqrt(share)
    return current_a * length_m * mohm_m * 1e-3 * (1 + 0.00393 * (running_c - 20.0))


def test_a_fork_is_a_trunk_two_branches_two_returns_and_a_splice() -> None:
    (option,) = shared(list_options(forked()))
    assert [(c.role, c.length_m, c.current_a, c.route.places) for c in option.conductors] == [
        ("trunk", pytest.approx(1.3), 5.0, ("bench", "fork")),
        ("branch", pytest.approx(2.2), 2.0, ("fork", "left")),
        ("branch", pytest.approx(3.3), 3.0, ("fork", "right")),
        ("return", 0.3, 2.0, ("left",)),
        ("return", 0.3, 3.0, ("right",)),
    ]
    assert option.plan.splices == (("fork", 1),)
    assert option.trips == ((0, 6.5),)


def test_a_fork_costs_its_copper_and_its_splice() -> None:
    (option,) = shared(list_options(forked()))
    # (1.3 + 2.2 + 3.3 + 0.3 + 0.3) m x 1 mm2 x 8.89 g/cm3, each wire rounded to the milligram
    assert option.copper_g == 11.557 + 19.558 + 29.337 + 2 * 2.667
    assert option.plan.price_g == option.copper_g + 3.0


def test_the_drop_of_a_fork_is_that_of_its_worse_lamp() -> None:
    (option,) = shared(list_options(forked()))
    trunk = volts(5.0, 1.3) + 0.0005 * 5.0
    left = trunk + volts(2.0, 2.2) + volts(2.0, 0.3)
    right = trunk + volts(3.0, 3.3) + volts(3.0, 0.3)
    assert option.plan.drop_v == pytest.approx(max(left, right), abs=1e-12)
    assert right > left


def test_each_lamp_of_a_fork_has_its_own_limit() -> None:
    (option,) = shared(list_options(forked()))
    left = volts(5.0, 1.3) + 0.0005 * 5.0 + volts(2.0, 2.2) + volts(2.0, 0.3)
    fits, fails = ((left * change) / 13.6 for change in (1.0001, 0.9999))
    assert shared(list_options(forked(replace(LEFT, max_drop=fits), RIGHT)))
    assert not shared(list_options(forked(replace(LEFT, max_drop=fails), RIGHT)))
    assert option.plan.drop_v > left


def test_all_pieces_of_a_tree_are_of_one_size_returns_may_be_of_another() -> None:
    (thin,) = shared(list_options(forked(sizes=(ONE_MM2, TWO_MM2))))
    assert {c.wire.size for c in thin.conductors} == {"1 mm2"}
    limit = 0.9 * thin.plan.drop_v / 13.6
    tight = Margins(bundle=Bundling.NONE, tail_m=0.3, ground_lead_m=0.3, branch_drop=limit)
    (thick,) = shared(list_options(forked(sizes=(ONE_MM2, TWO_MM2), margins=tight)))
    assert {c.wire.size for c in thick.conductors if c.role != "return"} == {"2 mm2"}
    assert {c.wire.size for c in thick.conductors if c.role == "return"} == {"1 mm2"}


def test_lamps_at_one_place_hang_on_splices_there() -> None:
    four = tuple(replace(RIGHT, name=f"lamp {n}", current_a=1.0) for n in range(4))
    option = next(o for o in shared(list_options(forked(*four))) if o.candidate.members == ((0, 4),))
    # five wires meet (one in, four out): two splices of four wires
    assert option.plan.splices == (("right", 2),)
    assert [(c.role, c.length_m, c.count) for c in option.conductors] == [
        ("trunk", pytest.approx(4.3), 1),
        *[("branch", pytest.approx(0.3), 1)] * 4,
        ("return", 0.3, 4),
    ]
    assert option.plan.drop_v == pytest.approx(volts(4.0, 4.3) + 2 * 0.0005 * 4.0 + 2 * volts(1.0, 0.3), abs=1e-12)


def test_a_splice_of_three_wires_needs_more_of_them() -> None:
    four = tuple(replace(RIGHT, name=f"lamp {n}", current_a=1.0) for n in range(4))
    three = Margins(bundle=Bundling.NONE, tail_m=0.3, ground_lead_m=0.3, branch_drop=0.2, splice_wires=3)
    option = next(o for o in shared(list_options(forked(*four, margins=three))) if o.candidate.members == ((0, 4),))
    assert option.plan.splices == (("right", 3),)
    assert option.plan.splice_g == 9.0


def test_no_splice_sits_in_the_wet() -> None:
    assert shared(list_options(forked()))
    assert shared(list_options(forked(wet=True))) == []


def test_a_load_whose_run_was_measured_shares_no_output_from_that_site() -> None:
    assert shared(list_options(forked(runs=(Run(load="left lamp", site="bench", length_m=3.0),)))) == []


def test_the_returns_of_a_tree_go_to_the_source_where_they_must() -> None:
    (option,) = shared(list_options(forked(LEFT, replace(RIGHT, return_to="source"))))
    back = [(c.route.places, c.length_m) for c in option.conductors if c.role == "return"]
    assert back == [(("left",), 0.3), (("right", "fork", "bench", "box"), pytest.approx(5.3))]


def test_every_wire_of_a_tree_carries_the_trip() -> None:
    thin = Wire(size="thin", area_mm2=0.2, insulation_c=105.0)
    carries = 0.8 * ampacity_a(thin, 45.0)
    assert 3.0 < carries < 6.5
    # either lamp alone would do with the thin wire; behind 6.5 A neither branch nor return may be thin
    (option,) = shared(
        list_options(
            forked(
                sizes=(thin, ONE_MM2),
                wire_rules=WireRules(insulation_c=100.0, smallest_mm2=0.1),
                unit_types=(unit_type(output(trip_step_a=0.5, wire_mm2=(0.1, 4.0))),),
            )
        )
    )
    assert {c.wire.size for c in option.conductors} == {"1 mm2"}


# ---- single loads ------------------------------------------------------------------------------------------------


def test_a_bridge_has_two_wires_and_their_drop_and_no_return() -> None:
    able = unit_type(output(capabilities=("bridge",), trip_step_a=0.5))
    motor = load("motor", place="left", current_a=4.0, needs=("bridge",))
    (option,) = list_options(forked(motor, unit_types=(able,))).options
    assert [(c.role, c.count, c.current_a) for c in option.conductors] == [("out", 2, 4.0)]
    assert option.copper_g == 2 * round(3.3 * 8.89, 3)
    assert option.plan.drop_v == pytest.approx(2 * volts(4.0, 3.3), abs=1e-12)


def test_outputs_in_parallel_have_a_wire_each_at_their_share_of_the_current() -> None:
    able = unit_type(output(parallel=2, trip_step_a=0.5))
    heater = load("heater", place="left", current_a=12.0)
    (option,) = list_options(forked(heater, unit_types=(able,), sizes=(ONE_MM2, TWO_MM2))).options
    assert [(c.role, c.count, c.current_a) for c in option.conductors] == [("out", 2, 6.0), ("return", 1, 12.0)]
    back = option.conductors[1]
    assert back.ampacity_a >= 2 * dict(option.trips)[0]


def test_a_measured_run_takes_no_tail_and_no_lead() -> None:
    run = Run(load="left lamp", site="bench", length_m=0.0)
    (option,) = list_options(forked(LEFT, runs=(run,))).options
    assert [(c.role, c.length_m, c.copper_g) for c in option.conductors] == [("out", 0.0, 0.0), ("return", 0.3, 2.667)]


def test_a_lead_longer_than_the_way_leaves_no_wire_to_buy() -> None:
    (option,) = list_options(forked(replace(LEFT, lead_m=9.0))).options
    assert option.conductors[0].length_m == 0.0


@pytest.mark.parametrize(
    ("changed", "limit_v"),
    [
        ({}, 0.03 * 13.6),
        ({"max_drop": 0.05}, 0.05 * 13.6),
        ({"min_volts_v": 11.0}, 11.5 - 0.02 * 13.6 - 11.0),
        ({"min_volts_v": 10.0}, 0.03 * 13.6),
        ({"max_drop": 0.01, "min_volts_v": 11.0}, 0.01 * 13.6),
    ],
    ids=str,
)
def test_the_drop_a_load_allows_is_the_harder_of_its_two_words(changed: dict[str, Any], limit_v: float) -> None:
    own = load(**changed)
    assert drop_limit_v(problem(loads=(own,)), own) == pytest.approx(limit_v)


def test_a_heavier_way_out_may_be_cheaper_than_a_heavier_way_back() -> None:
    (option,) = list_options(forked(replace(LEFT, return_to="source"), sizes=(ONE_MM2, TWO_MM2))).options
    assert [c.wire.size for c in option.conductors] == ["1 mm2", "1 mm2"]
    tight = replace(LEFT, return_to="source", max_drop=0.9 * option.plan.drop_v / 13.6)
    (heavier,) = list_options(forked(tight, sizes=(ONE_MM2, TWO_MM2))).options
    # 3.2 m out against 4.3 m back: doubling the way out is the cheaper of the two
    assert [c.wire.size for c in heavier.conductors] == ["2 mm2", "1 mm2"]


def test_pairs_are_ranked_by_copper_and_held_to_the_limit() -> None:
    (option,) = list_options(forked(replace(LEFT, return_to="source"))).options
    out, back = option.conductors
    light, heavy = replace(out, copper_g=10.0, drop_v=0.3), replace(out, copper_g=20.0, drop_v=0.1)
    home = replace(back, copper_g=5.0, drop_v=0.2)
    assert cheapest_pairs([heavy, light], [home], 0.5) == [(light, home)]
    assert cheapest_pairs([heavy, light], [home], 0.49) == [(heavy, home)]
    assert cheapest_pairs([heavy, light], [home], 0.29) == []
