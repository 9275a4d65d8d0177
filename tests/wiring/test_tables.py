from __future__ import annotations

import subprocess
import sys
from math import pi

import pytest

from allocator.problem import Wire
from allocator.wiring.tables import rows
from tests.published.tables import built_in

TABLES = ("metric-thin-wall", "metric-battery-cable", "awg", "awg-battery-cable")
EVERY_WIRE = [
    pytest.param(wire, id=f"{name} {wire.size} {wire.insulation_c:g}") for name in TABLES for wire in built_in(name)
]


@pytest.mark.parametrize("wire", EVERY_WIRE)
def test_a_row_is_possible_and_names_its_source(wire: Wire) -> None:
    assert wire.conductor_mm is not None and wire.diameter_mm is not None
    assert wire.mass_g_m is not None and wire.resistance_mohm_m is not None
    assert wire.area_mm2 < pi / 4 * wire.conductor_mm**2 < 2 * wire.area_mm2
    assert wire.conductor_mm < wire.diameter_mm
    assert wire.mass_g_m > wire.area_mm2 * 8.89
    # never a better conductor than pure annealed copper of its area
    assert wire.resistance_mohm_m * wire.area_mm2 > 1000 / 58
    assert "memory" in wire.source


@pytest.mark.parametrize("name", TABLES)
def test_a_size_stands_once_in_each_class_and_is_the_same_wire(name: str) -> None:
    wires = built_in(name)
    assert len({(wire.size, wire.insulation_c) for wire in wires}) == len(wires)
    for size in {wire.size for wire in wires}:
        alike = {
            (w.area_mm2, w.conductor_mm, w.diameter_mm, w.resistance_mohm_m, w.mass_g_m)
            for w in wires
            if w.size == size
        }
        assert len(alike) == 1


@pytest.mark.parametrize(
    ("name", "first", "last", "classes"),
    [
        ("metric-thin-wall", "0.35 mm2", "10 mm2", {85, 100, 125, 150}),
        ("metric-battery-cable", "10 mm2", "120 mm2", {85, 100, 125}),
        ("awg", "24 AWG", "8 AWG", {105, 125, 150}),
        ("awg-battery-cable", "8 AWG", "4/0 AWG", {105, 125}),
    ],
)
def test_what_a_table_reaches_over(name: str, first: str, last: str, classes: set[int]) -> None:
    wires = built_in(name)
    assert (wires[0].size, wires[-1].size) == (first, last)
    assert {wire.insulation_c for wire in wires} == classes


@pytest.mark.parametrize("name", TABLES)
def test_masses_are_those_of_copper_and_insulation(name: str) -> None:
    for wire in built_in(name):
        assert wire.conductor_mm is not None and wire.diameter_mm is not None
        insulation = 1.4 * pi / 4 * (wire.diameter_mm**2 - wire.conductor_mm**2)
        assert wire.mass_g_m == pytest.approx(wire.area_mm2 * 8.89 * wire.lay + insulation, rel=6e-3)


def test_every_fuse_and_bundle_row_names_its_source() -> None:
    assert all(row["source"] for name in ("fuses", "bundle-factors") for row in rows(name))


def test_importing_the_package_loads_nothing_heavy() -> None:
    heavy = "{'numpy', 'pandas', 'pint', 'pulp', 'networkx', 'matplotlib'}"
    code = f"import sys, allocator.wiring; print(sorted({heavy} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
