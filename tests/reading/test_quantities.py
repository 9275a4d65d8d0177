from __future__ import annotations

from math import isclose, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from allocator.reading.gauges import gauge_area_mm2
from allocator.reading.plain_values import (
    read_count,
    read_current_or_power,
    read_flag,
    read_level,
    read_share,
)
from allocator.reading.quantities import (
    ALTITUDE,
    AREA,
    CAPACITY,
    COORDINATE,
    CURRENT,
    DIAMETER,
    LENGTH,
    MASS,
    MASS_PER_LENGTH,
    POWER,
    RESISTANCE,
    RESISTANCE_PER_LENGTH,
    TEMPERATURE,
    TIME,
    VOLTAGE,
    Dimension,
    UnreadableError,
    convert,
    read_quantity,
)
from allocator.reading.trade_units import units_of

ALL = (
    ALTITUDE, AREA, CAPACITY, COORDINATE, CURRENT, DIAMETER, LENGTH, MASS, MASS_PER_LENGTH, POWER, RESISTANCE,
    RESISTANCE_PER_LENGTH, TEMPERATURE, TIME, VOLTAGE,
)  # fmt: skip


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("8.3 A", CURRENT, 8.3),
        ("8.3A", CURRENT, 8.3),
        (".5 A", CURRENT, 0.5),
        ("5. A", CURRENT, 5.0),
        ("+5 A", CURRENT, 5.0),
        ("3e-1 A", CURRENT, 0.3),
        ("250 mA", CURRENT, 0.25),
        ("5 ampere", CURRENT, 5.0),
        ("0 m", LENGTH, 0.0),
        ("1450 mm", LENGTH, 1.45),
        ("10 ft", LENGTH, 3.048),
        ("-0.8 m", COORDINATE, -0.8),
        ("\u22120.8\u00a0m", COORDINATE, -0.8),
        ("104 degF", TEMPERATURE, 40.0),
        ("40 degC", TEMPERATURE, 40.0),
        ("70 °C", TEMPERATURE, 70.0),
        ("-5 celsius", TEMPERATURE, -5.0),
        ("300 K", TEMPERATURE, 26.85),
        ("20 ms", TIME, 0.02),
        ("0.64 kg", MASS, 640.0),
        ("5 mohm", RESISTANCE, 0.005),
        ("5 mΩ", RESISTANCE, 0.005),
        ("13 ohm/km", RESISTANCE_PER_LENGTH, 13.0),
        ("9 kg/km", MASS_PER_LENGTH, 9.0),
        ("180 Ah", CAPACITY, 180.0),
        ("1.5 mm2", AREA, 1.5),
        ("1.5 mm²", AREA, 1.5),
        ("1.5 mm^2", AREA, 1.5),
        ("0.015 cm2", AREA, 1.5),
    ],
)
def test_a_quantity_is_read_in_the_unit_used_inside(text: str, dimension: Dimension, value: float) -> None:
    assert isclose(read_quantity(text, dimension), value, rel_tol=1e-12)


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("2,5 A", "has a comma in its number"),
        ("1,200.5 A", "has a comma in its number"),
        ("5a", "is not a current: 'a' measures something else"),
        ("5 years", "is not a current: 'years' measures something else"),
        ("5 m A", "is not a current: 'm A' is not one unit"),
        ("5 A 3", "is not a current: 'A 3' is not one unit"),
        ("5*A", "is not a current: '*A' is not one unit"),
        ("1 200 A", "has a space inside its number"),
        ("-3 A", "is negative"),
        ("\u22123 A", "is negative"),
        ("nan A", "is not a finite number"),
        ("inf", "is not a finite number"),
        ("-inf A", "is not a finite number"),
        ("1e999 A", "is not a finite number"),
        ("5", "has no unit"),
        ("A", "is not a current"),
        ("", "is not a current"),
        ("about 5 A", "is not a current"),
        ("5..2 A", "is not a current: '.2 A' is not one unit"),
        ("5 Amps", "has an unknown unit 'Amps'"),
        ("5 amps", "is not a current: 'amps' measures something else"),
        ("5 __class__", "has an unknown unit '__class__'"),
        ("5 dBm", "is not a current: 'dBm' measures something else"),
        ("5 W", "is not a current: 'W' measures something else"),
        ("5 MA", "comes to 5e+06 A, outside of 0 to 10000 A"),
        ("５ A", "is not a current"),
    ],
)
def test_what_is_no_current_is_refused(text: str, wrong: str) -> None:
    with pytest.raises(UnreadableError) as refusal:
        read_quantity(text, CURRENT)
    assert refusal.value.wrong == wrong
    assert refusal.value.remedy


def test_a_comma_is_never_guessed_at() -> None:
    with pytest.raises(UnreadableError) as refusal:
        read_quantity("1,450 mm", LENGTH)
    assert refusal.value.remedy == (
        "Write '1.450 mm' if the comma marks the decimals, '1450 mm' if it marks the thousands"
    )


@pytest.mark.parametrize("text", ["40 C", "40 F", "40", "40 deg"])
def test_a_temperature_needs_a_unit_of_temperature(text: str) -> None:
    with pytest.raises(UnreadableError):
        read_quantity(text, TEMPERATURE)


def test_a_bare_number_takes_the_unit_of_its_heading_and_a_unit_of_its_own_goes_before() -> None:
    assert read_quantity("1450", LENGTH, "mm") == 1.45
    assert read_quantity("1.45 m", LENGTH, "mm") == 1.45
    assert read_quantity("104", TEMPERATURE, "degF") == 40.0


@pytest.mark.parametrize("dimension", ALL, ids=lambda dimension: dimension.noun)
def test_the_examples_in_the_remedies_can_be_read(dimension: Dimension) -> None:
    first, second = (read_quantity(text, dimension) for text in (dimension.example, dimension.other))
    assert dimension is AREA or isclose(first, second, rel_tol=1e-12)


@given(st.floats(0.001, 9999.0), st.sampled_from(ALL))
def test_a_number_written_in_the_unit_used_inside_comes_back_unchanged(number: float, unit: Dimension) -> None:
    if unit.low <= number <= unit.high:
        assert read_quantity(f"{number!r} {unit.unit}", unit) == number


@given(st.text(), st.sampled_from(ALL), st.sampled_from([None, "mm", "A", "degF"]))
def test_no_text_raises_anything_but_what_is_meant(text: str, dimension: Dimension, heading: str | None) -> None:
    try:
        value = read_quantity(text, dimension, heading)
    except UnreadableError as error:
        assert error.wrong
        assert error.remedy
    else:
        assert dimension.low <= value <= dimension.high


@given(st.from_regex(r"[0-9]{1,3} [A-Za-z_µΩ°%²*/·^23]{1,12}", fullmatch=True), st.sampled_from(ALL))
def test_no_odd_unit_raises_anything_but_what_is_meant(text: str, dimension: Dimension) -> None:
    try:
        read_quantity(text, dimension)
    except UnreadableError as error:
        assert error.remedy


@pytest.mark.parametrize(
    ("text", "area"),
    [
        # American Wire Gauge by the ASTM B258 rule; values as printed in common tables, from memory
        ("36 AWG", pi / 4 * 0.127**2),
        ("16 AWG", 1.309),
        ("AWG 10", 5.261),
        ("10awg", 5.261),
        ("1/0 AWG", 53.48),
        ("0 AWG", 53.48),
        ("2/0 AWG", 67.43),
        ("00 AWG", 67.43),
        ("AWG 4/0", 107.2),
        ("0000 AWG", 107.2),
    ],
)
def test_gauge_sizes_have_the_area_of_the_rule(text: str, area: float) -> None:
    found = gauge_area_mm2(text)
    assert found is not None
    assert isclose(found, area, rel_tol=5e-4)
    assert read_quantity(text, AREA) == found


@pytest.mark.parametrize("text", ["16", "AWG", "5/0 AWG", "016 AWG", "16 AWG 2", "x AWG"])
def test_what_is_no_gauge_has_no_area(text: str) -> None:
    assert gauge_area_mm2(text) is None


@pytest.mark.parametrize(("text", "share"), [("3 %", 0.03), ("3%", 0.03), ("3 percent", 0.03), ("0.03", 0.03)])
def test_shares(text: str, share: float) -> None:
    assert read_share(text) == share


def test_a_bare_number_is_a_percentage_only_under_such_a_heading() -> None:
    assert read_share("3") == 3.0
    assert read_share("3", "%") == 0.03
    assert read_share("3 %", "%") == 0.03


@pytest.mark.parametrize(
    ("text", "level"), [("0", 0.0), ("1", 1.0), ("0.4", 0.4), ("40 %", 0.4), ("yes", 1.0), ("No", 0.0), ("on", 1.0)]
)
def test_levels(text: str, level: float) -> None:
    assert read_level(text) == level


@pytest.mark.parametrize("text", ["2", "-0.1", "110 %", "half", "0,5", "nan", ""])
def test_what_is_no_level_is_refused(text: str) -> None:
    with pytest.raises(UnreadableError):
        read_level(text)


@pytest.mark.parametrize(("text", "flag"), [("yes", True), ("TRUE", True), ("1", True), ("no", False), ("0", False)])
def test_yes_and_no(text: str, flag: bool) -> None:
    assert read_flag(text) is flag


@pytest.mark.parametrize("text", ["2.5", "-1", "two", "1e7", "nan", "1,0"])
def test_what_is_no_count_is_refused(text: str) -> None:
    with pytest.raises(UnreadableError):
        read_count(text)


def test_a_current_may_be_given_as_a_power() -> None:
    assert read_current_or_power("60 W") == (60.0, "W")
    assert read_current_or_power("0.06", "kW") == (60.0, "W")
    assert read_current_or_power("5", "A") == (5.0, "A")


@pytest.mark.parametrize("text", ["60", "60 J", "60 Wx", "sixty"])
def test_the_remedy_for_a_current_names_both(text: str) -> None:
    with pytest.raises(UnreadableError) as refusal:
        read_current_or_power(text)
    assert refusal.value.remedy == "Write a current in A, such as 5 A, or a power in W, such as 60 W"


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("5 %A", CURRENT), ("5 abampere", CURRENT), ("5 biot", CURRENT), ("5 Bi", CURRENT),
        ("5 elementary_charge/s", CURRENT), ("5 C/s", CURRENT), ("5 atomic_unit_of_current", CURRENT),
        ("5 V/ohm", CURRENT), ("5 exaampere", CURRENT), ("5 erg/s", POWER), ("5 ppm*W", POWER),
        ("5 light_year", LENGTH),
        ("5 angstrom", LENGTH), ("5 planck_length", LENGTH), ("5 barn", AREA), ("5 acre", AREA),
        ("5 electron_mass", MASS),
        ("5 stone", MASS), ("5 fortnight", TIME), ("5 abvolt", VOLTAGE), ("5 abohm", RESISTANCE),
        ("5 degR", TEMPERATURE),
        ("5 faraday", CAPACITY), ("5 abohm/m", RESISTANCE_PER_LENGTH), ("5 slug/m", MASS_PER_LENGTH),
    ],
)  # fmt: skip
def test_a_unit_that_nobody_of_the_trade_writes_is_refused(text: str, dimension: Dimension) -> None:
    with pytest.raises(UnreadableError) as refusal:
        read_quantity(text, dimension)
    assert "which is not a unit used for" in refusal.value.wrong or "unknown unit" in refusal.value.wrong
    assert refusal.value.remedy == dimension.remedy


@pytest.mark.parametrize("dimension", ALL, ids=lambda dimension: dimension.noun)
def test_the_units_of_the_trade_are_all_read(dimension: Dimension) -> None:
    read = 0
    for unit in units_of(dimension.unit):
        try:
            convert(1.0, unit, dimension)
            read += 1
        except UnreadableError as error:
            assert "unknown unit" in error.wrong, unit
    assert read >= 6
    for text in (dimension.example, dimension.other):
        assert read_quantity(text, dimension) >= dimension.low


@pytest.mark.parametrize("dimension", ALL, ids=lambda dimension: dimension.noun)
def test_what_is_smaller_than_anything_built_is_refused(dimension: Dimension) -> None:
    for number in ("1e-300", "5e-324", "1e-30"):
        text = f"{number} {dimension.unit}"
        with pytest.raises(UnreadableError, match="which is smaller than anything real") as refusal:
            read_quantity(text, dimension)
        assert refusal.value.remedy == "Check the number and its unit, or write 0"


@pytest.mark.parametrize("text", ["1e-300", "1e300", "-1e-10"])
def test_a_share_of_absurd_size_is_refused(text: str) -> None:
    with pytest.raises(UnreadableError, match="is not 0, nor from 1e-09 to 1e\\+09"):
        read_share(text)
