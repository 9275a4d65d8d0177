"""A small machine to check layouts of: a cart with a battery, two mounting places and a few loads.

    battery --0.5 m-- front --1.0 m-- middle --1.0 m-- rear

Ground studs at the battery and at the rear.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from allocator.layout import Circuit, FittedUnit, Layout, PlacedWire, Splice
from allocator.problem import (
    Bank,
    Bundling,
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


def _table(name: str, *areas_mm2: float) -> WireTable:
    return WireTable(
        name=name,
        wires=tuple(
            Wire(size=f"{area:g} mm2", area_mm2=area, insulation_c=insulation)
            for area in areas_mm2
            for insulation in (100.0, 125.0)
        ),
    )


BRANCH = _table("test wires", 0.35, 0.5, 1.0, 1.5, 2.5, 4.0, 6.0)
CABLE = _table("test cable", 6.0, 10.0, 16.0, 25.0, 35.0)

BATTERY = Place(name="battery", stud_a=200.0)
FRONT = Place(name="front")
MIDDLE = Place(name="middle")
REAR = Place(name="rear", stud_a=50.0)
SEGMENTS = (
    Segment(start="battery", end="front", length_m=0.5),
    Segment(start="front", end="middle", length_m=1.0),
    Segment(start="middle", end="rear", length_m=1.0),
)


def light(**changes: Any) -> OutputClass:
    standard = {"name": "light", "pins": ("a1", "a2", "a3", "a4"), "continuous_a": 10.0, "bank": "left"}
    return OutputClass(**{"wire_mm2": (0.5, 2.5), "trip_step_a": 0.5, **standard, **changes})


def heavy(**changes: Any) -> OutputClass:
    standard = {"name": "heavy", "pins": ("b1", "b2"), "continuous_a": 20.0, "bank": "right"}
    able = {"capabilities": ("dim", "bridge"), "parallel": 2}
    return OutputClass(**{"wire_mm2": (1.0, 6.0), "trip_step_a": 0.5, **standard, **able, **changes})


def box(**changes: Any) -> UnitType:
    banks = (Bank(name="left", continuous_a=40.0), Bank(name="right", continuous_a=40.0))
    standard = {"name": "box", "continuous_a": 60.0, "mass_g": 500.0, "banks": banks}
    return UnitType(**{"outputs": (light(), heavy()), **standard, **changes})


def unit(name: str = "main", **changes: Any) -> Unit:
    return Unit(**{"name": name, "type": "box", "sites": ("front", "middle"), "source": "battery", **changes})


def load(name: str = "lamp", place: str = "rear", current_a: float = 4.0, **changes: Any) -> Load:
    return Load(**{"name": name, "item": name, "place": place, "current_a": current_a, **changes})


def places(**replaced: Place) -> tuple[Place, ...]:
    """The places of the cart, some of them replaced by others of the same name."""
    return tuple(replaced.get(place.name, place) for place in (BATTERY, FRONT, MIDDLE, REAR))


def problem(*loads: Load, **changes: Any) -> Problem:
    """The cart with these loads, or one lamp; keywords replace what it has otherwise."""
    margins = Margins(**{"bundle": Bundling.NONE, **changes.pop("margins", {})})
    standard = {
        "name": "cart",
        "nominal_v": 12.0,
        "running_v": 13.6,
        "lowest_v": 11.5,
        "loads": loads or (load(),),
        "places": places(),
        "segments": SEGMENTS,
        "unit_types": (box(),),
        "units": (unit(),),
        "sources": (Source(name="battery", place="battery"),),
        "wires": BRANCH,
        "feed_wires": CABLE,
    }
    return Problem(**{**standard, "margins": margins, **changes})


def circuit(loads: str = "lamp", pins: str = "a1", size: str = "1.5 mm2", **changes: Any) -> Circuit:
    """A circuit as a hand writes it: loads and pins as words, one size for all wires."""
    standard = {"name": loads, "loads": tuple(loads.split()), "unit": "main", "pins": tuple(pins.split())}
    return Circuit(**{"wires": (PlacedWire(role="any", size=size),), **standard, **changes})


def layout(*circuits: Circuit, site: str = "front", **changes: Any) -> Layout:
    """A layout by hand: the main unit at a site, and circuits, or the lamp's alone."""
    units = (FittedUnit(name="main", site=site),)
    return Layout(**{"problem": "cart", "units": units, "circuits": circuits or (circuit(),), **changes})


def out(**changes: Any) -> PlacedWire:
    return PlacedWire(**{"role": "out", "size": "1.5 mm2", **changes})


def back(**changes: Any) -> PlacedWire:
    return PlacedWire(**{"role": "return", "size": "1.5 mm2", **changes})


SHARED = (load("lamp", share="lights"), load("spot", "middle", 2.0, share="lights"))


def shared_circuit(*changed: PlacedWire, **changes: Any) -> Circuit:
    """Lamp (rear) and spot (middle) on one output, spliced at the middle, piece by piece."""
    pieces = {
        ("trunk", "middle"): PlacedWire(role="trunk", size="1.5 mm2", start="front", end="middle"),
        ("branch", "rear"): PlacedWire(role="branch", size="1.5 mm2", start="middle", loads=("lamp",)),
        ("branch", "middle"): PlacedWire(role="branch", size="1.5 mm2", start="middle", loads=("spot",)),
    }
    ends = {"lamp": "rear", "spot": "middle"}
    for wire in changed:
        pieces[wire.role, wire.end or ends[wire.loads[0]]] = wire
    standard = {"wires": tuple(pieces.values()), "splices": (Splice(place="middle"),)}
    return circuit("lamp spot", **{**standard, **changes})


@dataclass(frozen=True, kw_only=True)
class Case:
    """A layout that keeps a rule and one that breaks it and no other: the object, by how much, in which unit.

    ``also`` names rules that cannot be kept by a layout that breaks this one.
    """

    good: tuple[Problem, Layout]
    bad: tuple[Problem, Layout]
    object: str
    amount: float
    unit: str
    also: frozenset[str] = frozenset()


def with_circuit(given: Layout, **changes: Any) -> Layout:
    """A layout with its first circuit changed."""
    return replace(given, circuits=(replace(given.circuits[0], **changes), *given.circuits[1:]))
