from __future__ import annotations

from collections.abc import Callable
from math import inf, nan

import pytest

from allocator.problem import (
    Bank,
    Bulkhead,
    Bundling,
    Cables,
    ContactSet,
    Function,
    GivenWire,
    Margins,
    Place,
    Prices,
    ProblemError,
    Run,
    Segment,
    Source,
    Supply,
    Wire,
    WireRules,
    WireTable,
)
from tests.problem.samples import load, output, problem, unit, unit_type, wire

WRONG: list[tuple[Callable[[], object], str]] = [
    (lambda: load(""), "'load': is empty"),
    (lambda: load("a;b"), "'load': 'a;b' contains a semicolon"),
    (lambda: load("a\nb"), "'load': 'a\nb' contains a semicolon or a character that cannot be printed"),
    (lambda: load(current_a=0.0), "'current': '0' is not more than 0"),
    (lambda: load(current_a=nan), "'current': 'nan' is not more than 0"),
    (lambda: load(current_a=inf), "'current': 'inf' is not more than 0"),
    (lambda: load(max_trip_a=-1.0), "'max_trip': '-1' is not more than 0"),
    (lambda: load(min_volts_v=0.0), "'min_volts': '0' is not more than 0"),
    (lambda: load(lead_m=-0.1), "'lead': '-0.1' is not 0 or more"),
    (lambda: load(max_drop=0.0), "'max_drop': '0' is not a share above 0, up to 1"),
    (lambda: load(spread=1.5), "'spread': '1.5' is not from 0 to 1"),
    (lambda: load(duty=nan), "'duty': 'nan' is not from 0 to 1"),
    (lambda: load(levels=(0.5, 2.0)), "'levels': '2' is not from 0 to 1"),
    (lambda: load(needs=("dim", "dim")), "'needs': 'dim' is named twice"),
    (lambda: load(inrush_a=20.0), "'inrush_time': is missing: a start current and its time belong together"),
    (lambda: load(inrush_s=0.1), "'inrush': is missing: a start current and its time belong together"),
    (lambda: load(inrush_a=4.0, inrush_s=0.1), "'inrush': '4' is below the continuous current"),
    (lambda: load(stall_a=5.4, spread=0.1), "'stall': '5.4' is not above the full current of 5.5 A"),
    (lambda: load(output="A"), "'output': 'A' is an output without its unit"),
    (lambda: load(supply=Supply.DIRECT, unit="front"), "'unit': 'front' is for loads that a unit supplies"),
    (lambda: load(supply=Supply.DIRECT, share="x"), "'share': 'x' is for loads that a unit supplies"),
    (lambda: load(supply=Supply.DIRECT, needs=("dim",)), "'needs': 'dim' is for loads that a unit supplies"),
    (lambda: load(supply=Supply.DIRECT, together="x"), "'together': 'x' is for loads that a unit supplies"),
    (lambda: Place(name="source"), "'place': 'source' means something else where a return is given"),
    (lambda: Place(name="a", x_m=1.0), "'y': is missing beside the others"),
    (lambda: Place(name="a", x_m=inf, y_m=0.0, z_m=0.0), "'x': 'inf' is not finite"),
    (lambda: Place(name="a", ambient_c=nan), "'ambient': 'nan' is not finite"),
    (lambda: Place(name="a", stud_a=0.0), "'stud': '0' is not more than 0"),
    (lambda: Place(name="a", units=-1), "'units': '-1' is not 0 or more"),
    (lambda: Segment(start="a", end="a", length_m=1.0), "'to': 'a' is where the segment begins"),
    (lambda: Segment(start="a", end="b", length_m=-1.0), "'length': '-1' is not 0 or more"),
    (lambda: Segment(start="a", end="b", length_m=1.0, factor=0.0), "'bundle': '0' is not a share above 0, up to 1"),
    (lambda: Segment(start="a", end="b", length_m=1.0, factor=1.1), "'bundle': '1.1' is not a share above 0, up to 1"),
    (lambda: Segment(start="a", end="b", length_m=1.0, wires=0), "'bundle wires': '0' is less than 1. Give the most"),
    (
        lambda: Segment(start="a", end="b", length_m=1.0, wires=10_001),
        "'bundle wires': '10001' is more than 10,000, the most that is read",
    ),
    (
        lambda: Segment(start="a", end="b", length_m=1.0, loading=1.2),
        "'bundle loading': '1.2' is not a share above 0, up to 1",
    ),
    (lambda: Run(load="a", site="b", length_m=-1.0), "'length': '-1' is not 0 or more"),
    (lambda: ContactSet(count=0, wire_mm2=(1.0, 2.0)), "'count': '0' is less than 1"),
    (lambda: ContactSet(count=1, wire_mm2=(2.0, 1.0)), "'wire': '2 mm2 to 1 mm2' is not a range"),
    (lambda: ContactSet(count=1, wire_mm2=(1.0, 2.0), resistance_ohm=-1.0), "'resistance': '-1' is not 0 or"),
    (lambda: Bulkhead(name="a", kind="wall", studs=1), "'kind': 'wall' is neither connector nor gland"),
    (lambda: Bulkhead(name="a"), "'contacts': is empty and there are no studs"),
    (lambda: GivenWire(name="a", start="b", end="c", size="1 mm2", cores=0), "'cores': '0' is less than 1"),
    (lambda: Bank(name="a", continuous_a=0.0), "'continuous': '0' is not more than 0"),
    (lambda: output(pins=()), "'pins': is empty"),
    (lambda: output(pins=("A", "A")), "'pins': 'A' is named twice"),
    (lambda: output(wire_mm2=(0.0, 1.0)), "'wire': '0 mm2 to 1 mm2' is not a range"),
    (lambda: output(retries=-1), "'retries': '-1' is not 0 or more"),
    (lambda: output(parallel=0), "'parallel': '0' is less than 1"),
    (lambda: output(parallel_use=1.1), "'parallel_use': '1.1' is not a share above 0, up to 1"),
    (lambda: output(peaks=((5.0, 1.0),)), "'peaks': '5 A' is below the continuous rating of 10 A"),
    (lambda: output(peaks=((50.0, 1.0), (60.0, 2.0))), "'peaks': '60 A' for 2 s is more than the 50 A for 1 s"),
    (lambda: output(peaks=((50.0, 0.0),)), "'peaks': '0' is not more than 0"),
    (lambda: output(trip_step_a=None), "'trip_step': is missing"),
    (lambda: output(trips_a=(5.0,)), "'trip_step': is given beside trips"),
    (lambda: output(trip_step_a=11.0), "'trip_step': '11 A' leaves no trip setting at or below"),
    (lambda: output(trip_step_a=None, trips_a=(15.0,)), "'trips': '15 A' leaves no trip setting at or below"),
    (lambda: output(trip_step_a=None, trips_a=(5.0, 5.0)), "'trips': '5 A' is named twice"),
    (lambda: unit_type(mass_g=-1.0), "'mass': '-1' is not 0 or more"),
    (lambda: unit_type(hot=((60.0, 1.0), (60.0, 0.5))), "'hot': '60 degC' does not rise above the 60 degC"),
    (lambda: unit_type(hot=((60.0, 1.5),)), "'hot': '1.5' is not from 0 to 1"),
    (lambda: unit_type(output("a"), output("b")), "'outputs': 'A' is named twice"),
    (lambda: unit_type(output(bank="left")), "'outputs': 'left' is not a bank of this type"),
    (
        lambda: unit_type(output(), banks=(Bank(name="left", continuous_a=5.0),)),
        "'outputs': 'light' is a class without a bank in a type that has banks",
    ),
    (lambda: unit_type(output(), output(pins=("C",))), "'outputs': 'light' is a class given twice"),
    (lambda: unit(sites=()), "'sites': is empty, so the unit has nowhere to sit"),
    (lambda: unit(sites=("a", "a")), "'sites': 'a' is named twice"),
    (lambda: unit(spare=(("light", -1),)), "'spare': '-1' is not 0 or more"),
    (lambda: unit(spare_current_a=-1.0), "'spare_current': '-1' is not 0 or more"),
    (lambda: Source(name="a", place=""), "'place': is empty, so the source is nowhere"),
    (lambda: Source(name="a", place="b", capacity_ah=0.0), "'capacity': '0' is not more than 0"),
    (lambda: Margins(output_use=0.0), "'output_use': '0' is not a share above 0, up to 1"),
    (lambda: Margins(trip=0.9), "'trip': '0.9' is not from 1 to 10"),
    (lambda: Margins(splice_wires=2), "'splice_wires': '2' is less than 3"),
    (
        lambda: Margins(bundle=False),  # type: ignore[arg-type]
        "margins, 'bundle': 'False' does not say how bundles are treated. Write \"heat\" (by their heat), \"table\"",
    ),
    (
        lambda: Margins(bundle_wires=12),
        "'bundle_wires': '12' is only meant with bundle = \"table\". Leave it out, or write bundle = \"table\".",
    ),
    (
        lambda: Margins(bundle=Bundling.NONE, bundle_loading=0.6),
        "margins, 'bundle_loading': '0.6' is only meant with bundle = \"table\". Leave it out, or write",
    ),
    (lambda: Margins(bundle=Bundling.TABLE, bundle_wires=0), "'bundle_wires': '0' is less than 1. Give the most wires"),
    (lambda: Margins(bundle=Bundling.TABLE, bundle_wires=10_001), "'bundle_wires': '10001' is more than 10,000"),
    (lambda: Margins(bundle=Bundling.TABLE, bundle_loading=0.0), "'bundle_loading': '0' is not a share above 0, up"),
    (
        lambda: Margins(bundle=Bundling.NONE, cables=Cables.INSIDE),
        "margins, 'cables': 'inside' has no effect with bundle = \"none\". Leave it out, or write bundle = \"heat\" or",
    ),
    (lambda: Margins(robust=-1), "'robust': '-1' is not 0 or more"),
    (lambda: Prices(splice_g=-1.0), "'splice': '-1' is not 0 or more"),
    (lambda: WireRules(sizes=("1 mm2", "1 mm2")), "'sizes': '1 mm2' is named twice"),
    (lambda: wire(0.0), "'area': '0' is not more than 0"),
    (
        lambda: Wire(size="a", area_mm2=4.0, insulation_c=105.0, conductor_mm=2.0),
        "'conductor': '2' is too thin for 4 mm2 of copper",
    ),
    (
        lambda: Wire(size="a", area_mm2=4.0, insulation_c=105.0, conductor_mm=2.6, diameter_mm=2.5),
        "'diameter': '2.5' is too thin for the conductor inside",
    ),
    (lambda: WireTable(name="a", wires=()), "'size': has no row"),
    (lambda: WireTable(name="a", wires=(wire(1.0), wire(1.0))), "'size': '1 mm2' appears twice"),
    (lambda: Function(name="a", loads=("b",), survive=0, against=("unit",)), "'survive': '0' is less than 1"),
    (lambda: Function(name="a", loads=(), survive=1, against=("unit",)), "'loads': is empty"),
    (lambda: Function(name="a", loads=("b",), survive=1, against=()), "'against': is empty"),
    (
        lambda: Function(name="a", loads=("b",), survive=1, against=("fuse",)),
        "'against': 'fuse' is not a known failure",
    ),
    (lambda: problem(lowest_v=12.5), "system, 'nominal': '12 V' is below the lowest voltage of 12.5 V"),
    (lambda: problem(conditions=()), "system, 'conditions': are missing"),
    (lambda: problem(ambient_c=nan), "system, 'ambient': 'nan' is not finite"),
]


@pytest.mark.parametrize(("make", "says"), WRONG, ids=[says for _, says in WRONG])
def test_an_object_refuses_what_cannot_be(make: Callable[[], object], says: str) -> None:
    with pytest.raises(ProblemError) as refusal:
        make()
    assert says in str(refusal.value)


def test_an_object_tells_all_its_mistakes_at_once() -> None:
    with pytest.raises(ProblemError) as refusal:
        load(current_a=-1.0, lead_m=-1.0, spread=3.0)
    assert [mistake.field for mistake in refusal.value.mistakes] == ["current", "lead", "spread"]
    assert str(refusal.value).startswith("3 mistakes in the input:\n  loads, 'lamp', 'current': '-1'")
