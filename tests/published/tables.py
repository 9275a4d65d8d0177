"""Published tables as rows, and the wires of this package that they are held against."""

from __future__ import annotations

import csv
from dataclasses import dataclass, replace
from functools import cache
from math import pi
from pathlib import Path

from allocator.problem import Wire
from allocator.reading.gauges import gauge_area_mm2
from allocator.wiring import ampacity_a, bundle_factor
from allocator.wiring.tables import rows as package_rows

FOOT_M = 0.3048
CIRCULAR_MIL_MM2 = pi / 4 * 0.0254**2
AEROSPACE = ("AC 43.13-1B Table 11-9", "AC 43.13-1A single wire", "MIL-W-5088B", "single-wire curve")


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Rows of ``tests/published/data/NAME.csv``; each carries its source and how sure it is."""
    text = (Path(__file__).parent / "data" / f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


@cache
def built_in(name: str) -> tuple[Wire, ...]:
    """Rows of a built-in wire table, read without the package's own reader."""
    return tuple(
        Wire(
            size=row["size"],
            area_mm2=float(row["area [mm2]"]),
            insulation_c=float(row["insulation [degC]"]),
            conductor_mm=float(row["conductor [mm]"]),
            diameter_mm=float(row["diameter [mm]"]),
            resistance_mohm_m=float(row["resistance [mohm/m]"]),
            mass_g_m=float(row["mass [g/m]"]),
            lay=float(row["lay"]),
            source=row["source"],
        )
        for row in package_rows(name)
    )


def gauge_mm2(size: str) -> float:
    """Area of a gauge size by the package's rule."""
    area = gauge_area_mm2(size)
    assert area is not None, size
    return area


@cache
def wire_of(size: str, insulation_c: float) -> Wire:
    """A wire of the built-in tables (8 AWG: battery cable), or from its area where they have none."""
    for table in ("metric-thin-wall", "metric-battery-cable", "awg-battery-cable", "awg"):
        for wire in built_in(table):
            if wire.size == size:
                return replace(wire, insulation_c=insulation_c)
    area = gauge_mm2(size) if size.endswith("AWG") else float(size.removesuffix(" mm2"))
    return Wire(size=size, area_mm2=area, insulation_c=insulation_c)


@cache
def aerospace_wire(size: str, insulation_c: float) -> Wire:
    """A wire of AC 43.13-1B Table 11-9: its area and resistance seen there, its diameters computed."""
    row = next(row for row in rows("aerospace-wires") if row["size"] == size)
    return Wire(
        size=size,
        area_mm2=float(row["area [cmil]"]) * CIRCULAR_MIL_MM2,
        insulation_c=insulation_c,
        resistance_mohm_m=float(row["resistance [ohm/1000 ft]"]) / FOOT_M,
    )


@dataclass(frozen=True)
class Published:
    """One published ampacity and the wire it is for; ``free_air_a``: the table's own factors taken out."""

    table: str
    wire: Wire
    ambient_c: float
    free_air_a: float
    printed_a: float
    status: str

    @property
    def ratio(self) -> float:
        """Free-air ampacity of the model over the published one."""
        return ampacity_a(self.wire, self.ambient_c) / self.free_air_a


@cache
def ampacities() -> tuple[Published, ...]:
    """Every published ampacity in ``data/ampacity.csv``."""
    return tuple(_published(row) for row in rows("ampacity"))


def _published(row: dict[str, str]) -> Published:
    table, size, limit = row["table"], row["size"], float(row["conductor [degC]"])
    current = float(row["current [A]"])
    return Published(
        table=table,
        wire=aerospace_wire(size, limit) if table in AEROSPACE else wire_of(size, limit),
        ambient_c=float(row["ambient [degC]"]),
        free_air_a=current / (_table_11_9_factor(size) if table == "AC 43.13-1B Table 11-9" else 1.0),
        printed_a=current,
        status=row["status"],
    )


def _table_11_9_factor(size: str) -> float:
    """What Table 11-9 takes off: bundle (33 wires 0.52: memory; 9 wires: seen), altitude (0.79: memory)."""
    heavy = "/" in size or int(size.removesuffix(" AWG")) <= 8
    return 0.79 * (bundle_factor(9, 0.20) if heavy else 0.52)
