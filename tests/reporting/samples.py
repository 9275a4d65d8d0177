"""One small problem and a layout for it, made by hand: every kind of circuit once."""

from __future__ import annotations

from dataclasses import replace

from allocator.layout import (
    OPTIMAL,
    Circuit,
    DirectCircuit,
    Feed,
    FittedUnit,
    GivenRun,
    Layout,
    PlacedWire,
    Splice,
    Totals,
)
from allocator.problem import (
    Bank,
    Fit,
    Load,
    Margins,
    OutputClass,
    Place,
    Problem,
    Segment,
    Source,
    Supply,
    Unit,
    UnitType,
    Wire,
    WireTable,
)

TABLE = WireTable(name="sample", wires=(Wire(size="1 mm2", area_mm2=1.0, insulation_c=105.0),))

UNIT_TYPE = UnitType(
    name="nine-way",
    continuous_a=60.0,
    mass_g=300.0,
    hot=((50.0, 1.0), (80.0, 0.5)),
    banks=(Bank(name="left", continuous_a=40.0), Bank(name="right", continuous_a=30.0)),
    outputs=(
        OutputClass(
            name="heavy",
            bank="left",
            pins=("H1", "H2", "H3", "H4"),
            continuous_a=18.0,
            wire_mm2=(1.0, 4.0),
            capabilities=("bridge",),
            parallel=2,
            trip_step_a=0.5,
        ),
        OutputClass(
            name="light",
            bank="right",
            pins=("S1", "S2", "S3", "S4", "S5"),
            continuous_a=7.0,
            wire_mm2=(0.5, 1.5),
            trip_step_a=0.5,
        ),
    ),
)

LOADS = (
    Load(
        name="pump [x]",
        item="pump [x]",
        place="nose",
        current_a=4.0,
        levels=(1.0, 0.0),
        duty=0.5,
        spread=0.1,
        extra=(("stock", "A 17"), ("class", "odd")),
    ),
    Load(name="heater", item="heater", place="tail", current_a=20.0, levels=(1.0, 0.5)),
    Load(name="window", item="window", place="nose", current_a=6.0, needs=("bridge",), levels=(0.0, 0.0)),
    Load(name="lamp 1", item="lamp", place="tail", current_a=1.0, share="lamps", levels=(1.0, 1.0)),
    Load(name="lamp 2", item="lamp", place="tail", current_a=1.0, share="lamps", levels=(1.0, 1.0)),
    Load(name="dimmed", item="dimmed", place="nose", current_a=2.0, needs=("dim",), levels=(0.25, 0.0)),
    Load(name="radio", item="radio", place="nose", current_a=3.0, supply=Supply.DIRECT, levels=(1.0, 1.0)),
)

PROBLEM = Problem(
    name="sample",
    nominal_v=12.0,
    running_v=13.6,
    lowest_v=11.5,
    loads=LOADS,
    places=(
        Place(name="nose", stud_a=40.0),
        Place(name="tail"),
        Place(name="box"),
        Place(name="warm", ambient_c=65.0),
    ),
    segments=(
        Segment(start="nose", end="warm", length_m=1.0),
        Segment(start="warm", end="tail", length_m=1.0),
        Segment(start="box", end="warm", length_m=2.0),
    ),
    unit_types=(UNIT_TYPE,),
    units=(
        Unit(name="front", type="nine-way", sites=("warm",), source="main", spare_current_a=2.0),
        Unit(name="rear", type="nine-way", sites=("tail",), source="main", fit=Fit.IF_NEEDED),
    ),
    sources=(Source(name="main", place="box", supply_a=(("day", 30.0),), capacity_ah=90.0),),
    conditions=("day", "night"),
    wires=TABLE,
    feed_wires=TABLE,
    margins=Margins(),
    defaults=("margins: trip 1.25",),
    digest="0" * 64,
)


def wire(role: str, start: str, end: str, length_m: float, loads: tuple[str, ...]) -> PlacedWire:
    return PlacedWire(
        role=role,
        size="1 mm2",
        start=start,
        end=end,
        route=(start, end),
        insulation_c=105.0,
        length_m=length_m,
        copper_g=round(8.89 * length_m, 3),
        wire_g=round(12.0 * length_m, 3),
        loads=loads,
    )


CIRCUITS = (
    Circuit(
        name="pump [x]",
        loads=("pump [x]",),
        unit="front",
        pins=("S1",),
        bank="right",
        output_class="light",
        current_a=4.4,
        trip_a=5.5,
        drop_percent=1.25,
        wires=(
            wire("out", "warm", "nose", 1.3, ("pump [x]",)),
            wire("return", "nose", "nose", 0.3, ("pump [x]",)),
        ),
    ),
    Circuit(
        name="heater",
        loads=("heater",),
        unit="front",
        pins=("H1", "H2"),
        bank="left",
        output_class="heavy",
        current_a=20.0,
        trip_a=14.0,
        drop_percent=2.5,
        wires=(
            wire("out", "warm", "tail", 1.3, ("heater",)),
            wire("out", "warm", "tail", 1.3, ("heater",)),
            wire("return", "tail", "nose", 2.3, ("heater",)),
        ),
    ),
    Circuit(
        name="window",
        loads=("window",),
        unit="front",
        pins=("H3", "H4"),
        bank="left",
        output_class="heavy",
        current_a=6.0,
        trip_a=7.5,
        drop_percent=1.0,
        wires=(
            wire("out", "warm", "nose", 1.3, ("window",)),
            wire("out", "warm", "nose", 1.3, ("window",)),
        ),
    ),
    Circuit(
        name="lamp 1 + lamp 2",
        loads=("lamp 1", "lamp 2"),
        unit="front",
        pins=("S2",),
        bank="right",
        output_class="light",
        current_a=2.0,
        trip_a=2.5,
        drop_percent=0.5,
        wires=(
            wire("trunk", "warm", "tail", 1.3, ("lamp 1", "lamp 2")),
            wire("branch", "tail", "tail", 0.3, ("lamp 1",)),
            wire("branch", "tail", "tail", 0.3, ("lamp 2",)),
            wire("return", "tail", "nose", 2.3, ("lamp 1",)),
            wire("return", "tail", "nose", 2.3, ("lamp 2",)),
        ),
        splices=(Splice(place="tail", count=1),),
    ),
    Circuit(
        name="dimmed",
        loads=("dimmed",),
        unit="front",
        pins=("S3",),
        bank="right",
        output_class="light",
        current_a=2.0,
        trip_a=2.5,
        drop_percent=0.6,
        wires=(
            wire("out", "warm", "nose", 1.3, ("dimmed",)),
            wire("return", "nose", "nose", 0.3, ("dimmed",)),
        ),
    ),
)

LAYOUT = Layout(
    problem="sample",
    problem_sha256="0" * 64,
    made_with=(("allocator", "0.1.0"),),
    status=OPTIMAL,
    objective_g=5312.4,
    bound_g=5312.4,
    gap=0.0,
    seconds=0.2,
    totals=Totals(
        copper_g=1234.5,
        branch_copper_g=234.5,
        feed_copper_g=1000.0,
        wire_g=1500.0,
        length_m=22.5,
        outputs_used=7,
        outputs_spare=1,
        outputs_unused=1,
        units_fitted=1,
        splices=1,
    ),
    units=(
        FittedUnit(
            name="front",
            type="nine-way",
            site="warm",
            feed=Feed(
                size="16 mm2",
                route=("box", "warm"),
                insulation_c=105.0,
                length_m=2.3,
                copper_g=327.2,
                wire_g=420.0,
                fuse_a=60.0,
                drop_percent=0.81,
            ),
            current_a=(("day", 27.0), ("night", 12.0)),
            spare=(("light", "right", 1),),
        ),
    ),
    circuits=CIRCUITS,
    direct=(
        DirectCircuit(
            load="radio",
            source="main",
            current_a=3.0,
            fuse_a=5.0,
            drop_percent=0.4,
            wires=(
                wire("out", "box", "nose", 3.3, ("radio",)),
                wire("return", "nose", "nose", 0.3, ("radio",)),
            ),
        ),
    ),
    given=(
        GivenRun(
            wire="data pair",
            size="0.35 mm2",
            cores=2,
            route=("nose", "warm", "tail"),
            insulation_c=105.0,
            length_m=2.3,
            copper_g=14.4,
            wire_g=20.0,
        ),
    ),
    defaults=("margins: trip 1.25", "margins: output_use 0.8"),
    listed=(("options", 2310), ("circuits", 7), ("slots", 2), ("cut_short", ())),
)


def stopped(**changes: object) -> Layout:
    """The layout as a stopped search would have left it."""
    return replace(LAYOUT, **{"status": "feasible", "bound_g": 5000.0, "gap": 0.0588, **changes})  # type: ignore[arg-type]
