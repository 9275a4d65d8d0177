"""A layout by hand in which every feature of the problem is used, and which keeps every rule."""

from __future__ import annotations

from allocator.evaluation.complete import complete
from allocator.layout import DirectCircuit, FittedUnit, Layout, PlacedWire
from allocator.problem import Bulkhead, Bundling, ContactSet, Fit, Function, GivenWire, Problem, Segment, Supply
from tests.checking.builders import SEGMENTS as PLAIN
from tests.checking.builders import box, circuit, heavy, layout, light, load, places, problem, replace, unit

SEGMENTS: tuple[Segment, ...] = (PLAIN[0], replace(PLAIN[1], bulkhead="wall"), PLAIN[2])
WALL = Bulkhead(
    name="wall",
    contacts=(
        ContactSet(count=6, wire_mm2=(0.5, 1.5), continuous_a=10.0, resistance_ohm=0.005),
        ContactSet(count=6, wire_mm2=(1.5, 6.0)),
    ),
    studs=1,
)


def rich_problem() -> Problem:
    lights = Function(name="lights", loads=("lamp", "torch"), survive=1, against=("unit", "bank", "output"))
    return problem(
        load("lamp", share="lights"),
        load("spot", "middle", 2.0, share="lights"),
        load("heater", "middle", 17.0, return_to="source", spread=0.1),
        load("winch", "rear", 6.0, needs=("bridge",)),
        load("torch", "rear", 3.0, max_trip_a=10.0, stall_a=20.0, min_volts_v=10.5),
        load("fan", "front", 3.0, return_to="middle", together="air", inrush_a=12.0, inrush_s=0.1),
        load("pump", "rear", 12.0, supply=Supply.DIRECT, stall_a=60.0, max_trip_a=40.0),
        segments=SEGMENTS,
        bulkheads=(WALL,),
        functions=(lights,),
        given_wires=(GivenWire(name="wake", start="battery", end="rear", size="1 mm2", cores=2, current_a=0.5),),
        unit_types=(box(outputs=(light(peaks=((15.0, 0.2),), retries=1), heavy())),),
        places=places(),
        units=(unit(spare=(("light", 2),), spare_current_a=2.0), unit("aux", sites=("middle",), fit=Fit.IF_NEEDED)),
        margins={"robust": 1, "branch_drop": 0.05, "bundle": Bundling.HEAT},
    )


def rich_layout() -> Layout:
    """Decisions only: sites, pins and one size for each circuit."""
    return layout(
        circuit("lamp spot", "a1", "2.5 mm2"),
        circuit("heater", "b1 b2", "6 mm2"),
        circuit("fan", "a2", "1 mm2"),
        circuit("winch", "b1 b2", "1.5 mm2", unit="aux"),
        circuit("torch", "a1", "1 mm2", unit="aux"),
        units=(FittedUnit(name="main", site="front"), FittedUnit(name="aux", site="middle")),
        direct=(DirectCircuit(load="pump", source="", wires=(PlacedWire(role="any", size="4 mm2"),)),),
    )


def rich_complete() -> Layout:
    return complete(rich_problem(), rich_layout())
