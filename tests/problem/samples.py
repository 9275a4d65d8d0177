"""A small good problem, made in Python, that tests change one thing in."""

from __future__ import annotations

from allocator.problem import (
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


def wire(area_mm2: float, insulation_c: float = 105.0) -> Wire:
    return Wire(size=f"{area_mm2:g} mm2", area_mm2=area_mm2, insulation_c=insulation_c)


def load(name: str = "lamp", **changed: object) -> Load:
    values: dict[str, object] = {"name": name, "item": name, "place": "door", "current_a": 5.0, **changed}
    return Load(**values)  # type: ignore[arg-type]


def output(name: str = "light", **changed: object) -> OutputClass:
    values: dict[str, object] = {
        "name": name,
        "pins": ("A", "B"),
        "continuous_a": 10.0,
        "wire_mm2": (0.5, 4.0),
        "trip_step_a": 1.0,
        **changed,
    }
    return OutputClass(**values)  # type: ignore[arg-type]


def unit_type(*outputs: OutputClass, **changed: object) -> UnitType:
    values: dict[str, object] = {"name": "2-way", "continuous_a": 30.0, "outputs": outputs or (output(),), **changed}
    return UnitType(**values)  # type: ignore[arg-type]


def unit(name: str = "front", **changed: object) -> Unit:
    values: dict[str, object] = {"name": name, "type": "2-way", "sites": ("bench",), "source": "battery", **changed}
    return Unit(**values)  # type: ignore[arg-type]


def problem(**changed: object) -> Problem:
    values: dict[str, object] = {
        "name": "sample",
        "nominal_v": 12.0,
        "running_v": 13.6,
        "lowest_v": 11.5,
        "loads": (load("lamp"), load("pump")),
        "places": (Place(name="box"), Place(name="bench"), Place(name="door")),
        "segments": (
            Segment(start="box", end="bench", length_m=1.0),
            Segment(start="bench", end="door", length_m=2.0),
        ),
        "unit_types": (unit_type(),),
        "units": (unit(),),
        "sources": (Source(name="battery", place="box"),),
        "wires": WireTable(name="thin", wires=(wire(1.0), wire(2.5))),
        "feed_wires": WireTable(name="thick", wires=(wire(10.0), wire(25.0))),
        "margins": Margins(bundle=Bundling.NONE),
        **changed,
    }
    return Problem(**values)  # type: ignore[arg-type]
