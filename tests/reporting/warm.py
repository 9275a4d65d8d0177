"""A cart whose wires warm each other: two lie in the front segment, with a cable beside them, and three in the rear."""

from __future__ import annotations

from allocator.layout import FittedUnit
from allocator.problem import Bundling
from tests.checking.builders import circuit, layout, load, problem, unit

AMBIENT_C = 40.0

CART = problem(
    load("lamp", current_a=4.0, levels=(1.0, 0.5)),
    load("fan", current_a=7.0, levels=(0.25, 1.0)),
    load("pump", current_a=14.0, levels=(0.0, 1.0)),
    conditions=("day", "night"),
    units=(unit(), unit("aux", sites=("middle",))),
    margins={"bundle": Bundling.HEAT},
    ambient_c=AMBIENT_C,
)
LAYOUT = layout(
    circuit("lamp", "a1", "1 mm2", trip_a=5.0),
    circuit("fan", "a2", "1.5 mm2", trip_a=9.0),
    circuit("pump", "b1", "1.5 mm2", trip_a=17.5, unit="aux"),
    units=(FittedUnit(name="main", site="front"), FittedUnit(name="aux", site="middle")),
)
