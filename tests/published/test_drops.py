"""Voltage drop: worked examples of an advisory circular and of small-craft practice."""

from __future__ import annotations

import pytest

from allocator.problem import Wire
from allocator.wiring import resistance_ohm_m, running_temperature_c
from tests.published.tables import CIRCULAR_MIL_MM2, FOOT_M, built_in, gauge_mm2, rows


def foot_wire(ohm_per_foot: float) -> Wire:
    """A wire known by its resistance alone; the area stands for nothing here."""
    return Wire(size="x", area_mm2=1.0, insulation_c=200.0, resistance_mohm_m=1000 * ohm_per_foot / FOOT_M)


@pytest.mark.parametrize("row", rows("drop-examples"), ids=lambda row: row["case"])
def test_examples_of_ac_43_13(row: dict[str, str]) -> None:
    """AC 43.13-1B Tables 11-7 and 11-8 (seen), figures printed to 2 or 3 digits.

    Case 7-3 is printed rounded up (3.60 for 3.555); case 8-2 is a misprint (.366 where the product is 0.491).
    """
    wire = foot_wire(float(row["resistance [ohm/ft]"]))
    drop = float(row["current [A]"]) * resistance_ohm_m(wire, 20.0) * float(row["length [ft]"]) * FOOT_M
    printed = float(row["printed [V]"])
    if row["misprint"] == "wrong":
        assert drop == pytest.approx(0.4914, abs=1e-4)
        assert abs(drop - printed) > 0.1
    elif row["misprint"] == "rounded up":
        assert printed - 0.05 <= drop <= printed
    else:
        assert drop == pytest.approx(printed, abs=0.005)


def test_run_length_corrected_for_temperature() -> None:
    """L2 = L1 x 254.5 / (234.5 + T2) (seen). T1 50, TR 200 degC, 20 A of 26 A, 15.5 ft: 182 degC, 9.5 ft.

    Inputs seen in AC 43.13-1B p. 11-27, results computed.
    """
    running = running_temperature_c(20.0, 26.0, 50.0, 200.0)
    assert running == pytest.approx(182, abs=0.5)
    wire = foot_wire(0.00306)
    length = 15.5 * resistance_ohm_m(wire, 20.0) / resistance_ohm_m(wire, running)
    assert length == pytest.approx(9.5, abs=0.05)
    assert length == pytest.approx(15.5 * 254.5 / (234.5 + running), rel=3e-4)


def least_gauge(circular_mils: float) -> str:
    """The thinnest even gauge with that many circular mils, by the rule of the gauge."""
    sizes = ["20 AWG", "18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "2 AWG"]
    return next(size for size in sizes if gauge_mm2(size) / CIRCULAR_MIL_MM2 >= circular_mils)


def circular_mils(current_a: float, length_ft: float, drop_v: float) -> float:
    """ABYC E-11: CM = 10.75 I L / E, L out and back (variables seen; formula and K memory)."""
    return 10.75 * current_a * length_ft / drop_v


@pytest.mark.parametrize(
    ("current", "size"),
    [
        (5, "18"), (10, "14"), (15, "12"), (20, "12"), (25, "10"), (30, "10"), (40, "8"), (50, "8"), (60, "6"),
        (70, "6"), (80, "6"), (90, "4"), (100, "4"),
    ],
)  # fmt: skip
def test_three_percent_of_12_volts_over_10_feet(current: float, size: str) -> None:
    """The row of 10 ft of a printed 12 V 3 % table (seen), from the areas of the gauge rule."""
    assert least_gauge(circular_mils(current, 10.0, 0.36)) == f"{size} AWG"


def test_a_pump_of_10_amperes_21_feet_out_and_back() -> None:
    """3 %: 12 AWG by area, and 10 AWG from the row of 25 ft as printed; 10 %: 16 AWG (answers seen)."""
    assert least_gauge(circular_mils(10, 21, 0.36)) == "12 AWG"
    assert least_gauge(circular_mils(10, 25, 0.36)) == "10 AWG"
    assert least_gauge(circular_mils(10, 21, 1.2)) == "16 AWG"


@pytest.mark.parametrize("name", ["metric-thin-wall", "metric-battery-cable", "awg", "awg-battery-cable"])
def test_no_built_in_wire_drops_less_than_iso_10133_has_it(name: str) -> None:
    """E = 0.0164 I L / S (seen on a trade page; below the resistivity of copper at 20 degC)."""
    for wire in built_in(name):
        assert resistance_ohm_m(wire, 20.0) > 0.0164 / wire.area_mm2
