from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from allocator.problem import (
    Bundling,
    Cables,
    Function,
    GivenWire,
    Line,
    Margins,
    Place,
    Problem,
    ProblemError,
    Run,
    Segment,
    Source,
    WireRules,
)
from allocator.problem.cross_checks import cross_mistakes
from allocator.problem.doubtful import doubtful
from allocator.problem.problem import draft_of
from tests.problem.samples import load, output, problem, unit, unit_type

LAMP, PUMP = load("lamp"), load("pump")
BOX, BENCH, DOOR = Place(name="box"), Place(name="bench"), Place(name="door")


def light(**changed: object) -> Function:
    values: dict[str, object] = {"name": "light", "loads": ("lamp",), "survive": 1, "against": ("unit",)}
    return Function(**{**values, **changed})  # type: ignore[arg-type]


def at(name: str, x_m: float) -> Place:
    return Place(name=name, x_m=x_m, y_m=0.0, z_m=0.0)


OUT, BACK = Segment(start="box", end="bench", length_m=1.0), Segment(start="bench", end="door", length_m=2.0)


def along(first: dict[str, Any], margins: Margins) -> Problem:
    """The sample with this of its first segment."""
    return problem(segments=(replace(OUT, **first), BACK), margins=margins)


HEAT, NONE = Margins(), Margins(bundle=Bundling.NONE)
BY_TABLE = Margins(bundle=Bundling.TABLE, bundle_wires=12, bundle_loading=0.6)
LOADED = Margins(bundle=Bundling.TABLE, bundle_loading=0.6)
WRONG: list[tuple[Callable[[], Problem], str]] = [
    (lambda: problem(loads=()), "loads: there are none"),
    (lambda: problem(units=()), "units: there are none"),
    (lambda: problem(sources=()), "sources: there are none"),
    (lambda: problem(loads=(LAMP, LAMP)), "loads, 'lamp', 'load': 'lamp' appears twice"),
    (lambda: problem(places=(BOX, BENCH, DOOR, DOOR)), "places, 'door', 'place': 'door' appears twice"),
    (lambda: problem(units=(unit(), unit())), "units, 'front', 'name': 'front' appears twice"),
    (lambda: problem(functions=(light(), light())), "functions, 'light', 'name': 'light' appears twice"),
    (lambda: problem(loads=(load(place="roof"),)), "loads, 'lamp', 'place': 'roof' is not a known place"),
    (lambda: problem(loads=(load(return_to="roof"),)), "'return': 'roof' is not a known place"),
    (lambda: problem(loads=(load(unit="rear"),)), "'unit': 'rear' is not a known unit"),
    (lambda: problem(loads=(load(levels=(1.0, 1.0)),)), "'levels': has 2 levels for 1 conditions"),
    (
        lambda: problem(loads=(load(unit="front", output="C"),)),
        "'output': 'C' is not a pin of unit 'front'. Name one of the 2 there are: 'A', 'B'",
    ),
    (
        lambda: problem(loads=(load("lamp", unit="front", output="A"), load("pump", unit="front", output="A"))),
        "loads, 'pump', 'output': 'A' is taken by load 'lamp' already",
    ),
    (
        lambda: problem(loads=(load("lamp", share="x"), load("pump", share="x", levels=(0.5,)))),
        "loads, 'pump', 'share': 'x' is shared with load 'lamp', whose levels in the conditions differ",
    ),
    (
        lambda: problem(
            units=(unit("front"), unit("rear")),
            loads=(load("lamp", together="x", unit="front"), load("pump", together="x", unit="rear")),
        ),
        "loads, 'pump', 'together': 'x' is together with load 'lamp', which is pinned to unit 'front'",
    ),
    (lambda: problem(units=(unit(type="4-way"),)), "units, 'front', 'type': '4-way' is not a known unit type"),
    (lambda: problem(units=(unit(source="dynamo"),)), "'source': 'dynamo' is not a known source"),
    (lambda: problem(units=(unit(sites=("roof",)),)), "'sites': 'roof' is not a known place"),
    (lambda: problem(units=(unit(spare=(("big", 1),)),)), "'spare': 'big' is not an output class of type '2-way'"),
    (lambda: problem(units=(unit(spare=(("light", 3),)),)), "'spare': 'light' is to keep 3 outputs free and has 2"),
    (lambda: problem(sources=(Source(name="battery", place="roof"),)), "'place': 'roof' is not a known place"),
    (
        lambda: problem(sources=(Source(name="battery", place="box", supply_a=(("noon", 5.0),)),)),
        "sources, 'battery', 'supply': 'noon' is not a known condition",
    ),
    (
        lambda: problem(segments=(Segment(start="box", end="roof", length_m=1.0),)),
        "segments, 'box - roof', 'to': 'roof' is not a known place",
    ),
    (
        lambda: problem(segments=(Segment(start="box", end="bench", length_m=1.0, bulkhead="wall"),)),
        "segments, 'box - bench', 'bulkhead': 'wall' is not a known bulkhead",
    ),
    (
        lambda: problem(segments=(Segment(start="box", end="bench", length_m=1.0),)),
        "segments: leaves the route network in more than one piece; cut off: 'door'",
    ),
    (
        lambda: problem(segments=()),
        "places, 'bench', 'x': is missing, and neither segments nor measured runs say how far",
    ),
    (lambda: problem(runs=(Run(load="fan", site="bench", length_m=1.0),)), "'load': 'fan' is not a known load"),
    (
        lambda: problem(runs=(Run(load="lamp", site="door", length_m=1.0),)),
        "runs, 'lamp - door', 'site': 'door' is neither a site of a unit nor the place of a source",
    ),
    (
        lambda: problem(runs=(Run(load="lamp", site="bench", length_m=1.0),) * 2),
        "runs, 'lamp - bench', 'site': 'lamp - bench' appears twice",
    ),
    (lambda: problem(functions=(light(loads=("fan",)),)), "functions, 'light', 'loads': 'fan' is not a known load"),
    (lambda: problem(functions=(light(survive=2),)), "'survive': '2' is more than the 1 loads of the function"),
    (lambda: problem(wire_rules=WireRules(sizes=("3 mm2",))), "wire, 'sizes': '3 mm2' is not a size of wire table"),
    (lambda: problem(wire_rules=WireRules(smallest_mm2=6.0)), "wire, 'smallest': '6 mm2' is above the largest size"),
    (
        lambda: problem(given_wires=(GivenWire(name="wake", start="box", end="door", size="3 mm2"),)),
        "wires, 'wake', 'size': '3 mm2' is a size of neither wire table",
    ),
    (
        lambda: along({}, LOADED),
        "margins, 'bundle_wires': is missing with bundle = \"table\", and no segment has a 'bundle wires' of its own. "
        "Give the most wires in a bundle, such as 12.",
    ),
    (
        lambda: along({}, Margins(bundle=Bundling.TABLE, bundle_wires=12)),
        "margins, 'bundle_loading': is missing with bundle = \"table\", and no segment has a 'bundle loading' of its "
        "own. Give the loading of a bundle, such as 60 %.",
    ),
    (
        lambda: along({"wires": 9}, LOADED),
        "segments, 'bench - door', 'bundle wires': is missing, and so is bundle_wires under [margins], with "
        'bundle = "table" there. Give the most wires in a bundle, such as 12, or bundle_wires for all.',
    ),
    (
        lambda: along({"loading": 0.4}, Margins(bundle=Bundling.TABLE, bundle_wires=12)),
        "segments, 'bench - door', 'bundle loading': is missing, and so is bundle_loading under [margins], with "
        'bundle = "table" there. Give the loading of a bundle, such as 60 %, or bundle_loading for all.',
    ),
    (
        lambda: along({"wires": 9}, HEAT),
        "segments, 'box - bench', 'bundle wires': '9' is only meant with bundle = \"table\" under [margins]. Leave it "
        'empty, or write bundle = "table" there.',
    ),
    (
        lambda: along({"loading": 0.4}, NONE),
        "segments, 'box - bench', 'bundle loading': '40 %' is only meant with bundle = \"table\" under [margins].",
    ),
    (
        lambda: along({"factor": 0.8}, NONE),
        "segments, 'box - bench', 'bundle': '0.8' has no effect with bundle = \"none\" under [margins]. Leave it "
        'empty, or write bundle = "heat" or "table" there.',
    ),
]


@pytest.mark.parametrize(("make", "says"), WRONG, ids=[says for _, says in WRONG])
def test_a_problem_refuses_parts_that_do_not_fit(make: Callable[[], Problem], says: str) -> None:
    with pytest.raises(ProblemError) as refusal:
        make()
    assert says in str(refusal.value)


GOOD: list[Callable[[], Problem]] = [
    problem,
    lambda: problem(
        loads=(load("lamp", unit="front", output="A", share="x"), load("pump", unit="front", output="A", share="x"))
    ),
    lambda: problem(runs=(Run(load="lamp", site="box", length_m=0.0),)),
    lambda: problem(units=(unit(spare=(("light", 2),)),)),
    lambda: problem(places=(BOX, BENCH, DOOR, Place(name="attic"))),
    lambda: problem(segments=(), places=(at("box", 0.0), at("bench", 1.0), at("door", 2.0))),
    lambda: problem(
        segments=(),
        places=(at("box", 0.0), at("bench", 1.0), DOOR),
        runs=tuple(Run(load=name, site="bench", length_m=1.0) for name in ("lamp", "pump")),
    ),
    lambda: problem(given_wires=(GivenWire(name="wake", start="box", end="door", size="25 mm2"),)),
    lambda: along({"factor": 0.8, "only": Line.CABLE}, HEAT),
    lambda: along({"only": Line.WIRE}, NONE),
    lambda: along({}, Margins(cables=Cables.INSIDE)),
    lambda: along({}, BY_TABLE),
    lambda: along({"factor": 0.8, "wires": 9, "loading": 0.4}, BY_TABLE),
    lambda: problem(segments=(replace(OUT, wires=9), replace(BACK, wires=7)), margins=LOADED),
]


@pytest.mark.parametrize("make", GOOD)
def test_parts_that_fit_are_good(make: Callable[[], Problem]) -> None:
    assert cross_mistakes(draft_of(make())) == ()


def test_a_stud_without_coordinates_is_told_where_a_return_may_go_to_it() -> None:
    places = (at("box", 0.0), at("bench", 1.0), at("door", 2.0), Place(name="frame", stud_a=50.0))
    with pytest.raises(ProblemError, match="places, 'frame', 'x': is missing"):
        problem(segments=(), places=places)
    elsewhere = tuple(replace(one, return_to="source") for one in (LAMP, PUMP))
    problem(segments=(), places=places, loads=elsewhere)


DOUBTFUL: list[tuple[Callable[[], Problem], str]] = [
    (lambda: problem(loads=(load(needs=("dim",)),)), "'needs': 'dim' is a capability that no output offers"),
    (
        lambda: problem(
            loads=(load(needs=("dim",), unit="front"),),
            unit_types=(unit_type(), unit_type(output(capabilities=("dim",)), name="other")),
            units=(unit(), unit("rear", type="other")),
        ),
        "'needs': 'dim' is a capability that no output of unit 'front' offers",
    ),
    (
        lambda: problem(
            loads=(load(needs=("dim",), unit="front", output="A"),),
            unit_types=(unit_type(output(), output("dimmed", pins=("C",), capabilities=("dim",))),),
        ),
        "'output': 'A' is an output of class 'light', which does not offer 'dim'",
    ),
    (
        lambda: problem(wire_rules=WireRules(insulation_c=150.0)),
        "wire, 'insulation': '150 degC' is above the best insulation in wire table 'thin', 105 degC",
    ),
    (lambda: problem(loads=(load(min_volts_v=11.5),)), "'min_volts': '11.5 V' is not below the lowest system voltage"),
    (
        lambda: problem(
            loads=(load("lamp 1", item="lamp"), load("lamp 2", item="lamp")),
            runs=(
                Run(load="lamp", site="bench", length_m=1.0),
                Run(load="lamp 1", site="bench", length_m=2.0),
            ),
        ),
        "runs, 'lamp 1 - bench', 'load': 'lamp 1' is measured to 'bench' here, and with all of 'lamp' in another row",
    ),
]


@pytest.mark.parametrize(("make", "says"), DOUBTFUL, ids=[says for _, says in DOUBTFUL])
def test_what_can_be_made_and_is_most_likely_wrong_is_told_apart(make: Callable[[], Problem], says: str) -> None:
    (mistake, *_) = doubtful(draft_of(make()))
    assert says in str(mistake)


def test_a_plain_problem_holds_nothing_doubtful() -> None:
    assert doubtful(draft_of(problem())) == ()


def test_nothing_is_held_against_a_part_that_could_not_be_read() -> None:
    draft = replace(draft_of(problem()), known={}, whole=frozenset(), places=(), units=(), unit_types=(), sources=())
    assert cross_mistakes(draft) == ()
    assert doubtful(draft) == ()


def test_a_segment_that_could_not_be_read_may_be_the_one_that_states_its_wires() -> None:
    draft = replace(draft_of(problem()), margins=LOADED)
    (mistake,) = cross_mistakes(draft)
    assert mistake.field == "bundle_wires"
    assert cross_mistakes(replace(draft, whole=draft.whole - {"segments"})) == ()
    assert cross_mistakes(replace(draft, margins=None)) == ()


def test_each_mistake_is_told_once() -> None:
    twice = replace(draft_of(problem()), loads=(load(place="roof"), load(place="roof")))
    assert len(cross_mistakes(twice)) == 1


def test_a_name_with_the_word_known_in_it_does_not_silence_what_is_cut_off():
    loads = (load("unknown lamp", unit="front", output="A"), load("pump", unit="front", output="A"))
    with pytest.raises(ProblemError) as raised:
        problem(loads=loads, segments=(Segment(start="box", end="bench", length_m=1.0),))
    assert "is taken by load 'unknown lamp' already" in str(raised.value)
    assert "cut off: 'door'" in str(raised.value)
