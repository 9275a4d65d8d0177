"""A small machine to check layouts of: a cart with a battery, two mounting places and a few loads.

    battery --0.5-- front --1.0-- middle --1.0-- rear
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from allocator.layout import Circuit, FittedUnit, Layout, PlacedWire
from allocator.problem import (
    Bank,
    Load,
    Margins,
    OutputClass,
    Place,
    Problem,
    Segment,
    Source,
    Unit,
    UnitType,
    Wire,
    WireTable,
)

BRANCH = WireTable(
    name="test wires",
    wires=tuple(
        Wire(size=f"{area:g} mm2", area_mm2=area, insulation_c=insulation)
        for area in (0.35, 0.5, 1.0, 1.5, 2.5, 4.0, 6.0)
        for insulation in (100.0, 125.0)
    ),
)
CABLE = WireTable(
    name="test cable",
    wires=tuple(
        Wire(size=f"{area:g} mm2", area_mm2=area, insulation_c=insulation)
        for area in (6.0, 10.0, 16.0, 25.0, 35.0)
        for insulation in (100.0, 125.0)
    ),
)


def light(**changes: Any) -> OutputClass:
    return OutputClass(**{
        "name": "light", "pins": ("a1", "a2", "a3", "a4"), "continuous_a": 10.0, "wire_mm2": (0.5, 2.5),
        "trip_step_a": 0.5, "bank": "left", **changes,
    })


def heavy(**changes: Any) -> OutputClass:
    return OutputClass(**{
        "name": "heavy", "pins": ("b1", "b2"), "continuous_a": 20.0, "wire_mm2": (1.0, 6.0), "trip_step_a": 0.5,
        "bank": "right", "capabilities": ("dim", "bridge"), "parallel": 2, **changes,
    })


def box(**changes: Any) -> UnitType:
    return UnitType(**{
        "name": "box", "continuous_a": 60.0, "outputs": (light(), heavy()), "mass_g": 500.0,
        "banks": (Bank(name="left", continuous_a=30.0), Bank(name="right", continuous_a=40.0)), **changes,
    })


def unit(name: str = "main", **changes: Any) -> Unit:
    return Unit(**{"name": name, "type": "box", "sites": ("front", "middle"), "source": "battery", **changes})


def load(name: str, place: str = "rear", current_a: float = 4.0, **changes: Any) -> Load:
    return Load(**{"name": name, "item": name, "place": place, "current_a": current_a, **changes})


PLACES = (
    Place(name="battery", stud_a=200.0), Place(name="front", units=1), Place(name="middle"),
    Place(name="rear", stud_a=50.0),
)
SEGMENTS = (
    Segment(start="battery", end="front", length_m=0.5),
    Segment(start="front", end="middle", length_m=1.0),
    Segment(start="middle", end="rear", length_m=1.0),
)


def problem(*loads: Load, **changes: Any) -> Problem:
    """The cart with these loads; keywords replace what it has otherwise."""
    margins = {"bundle": False, **changes.pop("margins", {})}
    return Problem(**{
        "name": "cart", "nominal_v": 12.0, "running_v": 13.6, "lowest_v": 11.5, "loads": loads, "places": PLACES,
        "segments": SEGMENTS, "unit_types": (box(),), "units": (unit(),),
        "sources": (Source(name="battery", place="battery"),), "wires": BRANCH, "feed_wires": CABLE,
        "margins": Margins(**margins), **changes,
    })


def circuit(loads: str, pins: str, size: str = "1.5 mm2", **changes: Any) -> Circuit:
    """A circuit as a hand writes it: loads and pins as words, one size for all wires."""
    names, outputs = tuple(loads.split()), tuple(pins.split())
    wires = (PlacedWire(role="any", size=size),)
    return Circuit(**{"name": loads, "loads": names, "unit": "main", "pins": outputs, "wires": wires, **changes})


def layout(*circuits: Circuit, site: str = "front", **changes: Any) -> Layout:
    """A layout by hand: the unit at a site, and circuits."""
    return Layout(**{
        "problem": "cart", "units": (FittedUnit(name="main", site=site),), "circuits": circuits, **changes,
    })


def with_wire(given: Layout, circuit_number: int, wire_number: int, **changes: Any) -> Layout:
    """A layout with one wire changed."""
    one = given.circuits[circuit_number]
    wires = list(one.wires)
    wires[wire_number] = replace(wires[wire_number], **changes)
    circuits = list(given.circuits)
    circuits[circuit_number] = replace(one, wires=tuple(wires))
    return replace(given, circuits=tuple(circuits))
