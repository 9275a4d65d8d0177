"""The heat balance against small-craft and road-vehicle tables."""

from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.wiring import ampacity_a
from tests.published.tables import Published, ampacities, rows, wire_of


def of(table: str, *classes: float) -> list[Published]:
    return [p for p in ampacities() if p.table == table and (not classes or p.wire.insulation_c in classes)]


def name(point: Published) -> str:
    return f"{point.wire.size} {point.ambient_c:g} to {point.wire.insulation_c:g}"


@pytest.mark.parametrize("point", of("33 CFR 183.425", 80, 90, 105, 125), ids=name)
def test_33_cfr_183_425(point: Published) -> None:
    """Table 5, 30 degC (seen): from 10 % below to 18 % above; the table leaves room for paired conductors."""
    assert 0.89 <= point.ratio <= 1.19


@pytest.mark.parametrize("point", of("33 CFR 183.425", 60, 75), ids=name)
def test_33_cfr_183_425_for_cool_insulation(point: Published) -> None:
    """Columns 60 and 75 degC (seen) round small sizes down hard: 18 AWG has 10 A in both."""
    small = point.wire.area_mm2 < 8
    assert 0.95 <= point.ratio <= (1.56 if small else 1.13)


@pytest.mark.parametrize("point", of("33 CFR 183.425", 200), ids=name)
def test_33_cfr_183_425_for_hot_insulation_is_no_heat_balance(point: Published) -> None:
    """Column 200 degC (seen) grows by 7 % over 125 degC only: it is bound by terminals, not by the wire."""
    assert point.ratio >= 1.09


@pytest.mark.parametrize(
    ("insulation", "printed", "tolerance", "status"),
    [
        (105.0, 0.85, 0.01, "seen in two documents"),
        (60.0, 0.58, 0.03, "memory"),
        (75.0, 0.75, 0.02, "memory"),
        (80.0, 0.78, 0.02, "memory"),
        (90.0, 0.82, 0.01, "memory"),
        (125.0, 0.89, 0.01, "memory"),
        (200.0, 1.00, 0.06, "memory"),
    ],
)
def test_ambient_factor_of_an_engine_space(insulation: float, printed: float, tolerance: float, status: str) -> None:
    """33 CFR 183.425 note 1: 50 degC over 30 degC."""
    for row in rows("nec-table8"):
        wire = wire_of(row["size"], insulation)
        factor = ampacity_a(wire, 50.0) / ampacity_a(wire, 30.0)
        assert factor == pytest.approx(printed, abs=tolerance), status


def test_the_two_engine_space_examples() -> None:
    """60 A becomes 51 A, 445 A becomes 378 A (seen, 105 degC)."""
    for size, cool, hot in (("10 AWG", 60, 51), ("4/0 AWG", 445, 378)):
        wire = wire_of(size, 105.0)
        assert cool * ampacity_a(wire, 50.0) / ampacity_a(wire, 30.0) == pytest.approx(hot, rel=0.015)


@pytest.mark.parametrize("point", of("ISO 10133", 105), ids=name)
def test_iso_10133_105_degrees(point: Published) -> None:
    """Table A.1 (memory, medium confidence): 7 to 22 % above the table."""
    assert 1.05 <= point.ratio <= 1.23


@pytest.mark.parametrize("point", of("VDE 0298-4"), ids=name)
def test_vde_0298_4(point: Published) -> None:
    """Single flexible core in free air, 30 to 70 degC (memory)."""
    assert 0.86 <= point.ratio <= 1.11


@pytest.mark.parametrize("point", of("thin-wall trade table"), ids=name)
def test_thin_wall_trade_table(point: Published) -> None:
    """Currents seen; that they stand for 30 to 70 degC is assumed, its conditions are not stated."""
    assert point.ratio == pytest.approx(1.0, abs=0.07)


def test_a_dim_reading_of_the_trade_table_needs_no_hotter_conductor() -> None:
    """At its own currents (seen) a 100 degC wire of ours stays below its class at 30 degC ambient."""
    for point in of("thin-wall trade table"):
        assert ampacity_a(replace(point.wire, insulation_c=100.0), 30.0) > point.printed_a
