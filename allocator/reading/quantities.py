"""Text with a unit to a plain float: a strict pattern first, Pint only behind it.

Pint alone reads ``2,5 A`` as 25 A, ``5a`` as five years and ``5 m A`` as metre-amperes, and lets nan and
negative values pass. So the text must look like one number and one unit before Pint sees the unit.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from math import isfinite
from typing import TYPE_CHECKING

from allocator.reading.gauges import gauge_area_mm2
from allocator.reading.trade_units import is_written

if TYPE_CHECKING:
    import pint


class UnreadableError(ValueError):
    """Text that is not what is asked for: what is wrong with it, and what would do."""

    def __init__(self, wrong: str, remedy: str):
        super().__init__(wrong)
        self.wrong = wrong
        self.remedy = remedy


@dataclass(frozen=True, slots=True)
class Dimension:
    """What a quantity measures: its unit inside (as Pint writes it), an example, and the range believed.

    ``least`` is the smallest size that is not 0: what is smaller comes of a slip, and makes sums overflow.
    """

    noun: str
    unit: str
    example: str
    other: str
    high: float
    low: float = 0.0
    least: float = 1e-9

    @property
    def remedy(self) -> str:
        """What would do in place of a text that cannot be read."""
        return f"Write {self.noun} in {self.unit}, such as {self.example} (or {self.other})"


CURRENT = Dimension("a current", "A", "5 A", "5000 mA", 1e4)
POWER = Dimension("a power", "W", "60 W", "0.06 kW", 1e6)
VOLTAGE = Dimension("a voltage", "V", "12 V", "12000 mV", 1e3)
LENGTH = Dimension("a length", "m", "1.2 m", "1200 mm", 1e5)
COORDINATE = Dimension("a coordinate", "m", "1.2 m", "1200 mm", 1e5, -1e5)
ALTITUDE = Dimension("an altitude", "m", "300 m", "0.3 km", 9e3, -500.0)
DIAMETER = Dimension("a diameter", "mm", "2.1 mm", "0.21 cm", 1e3)
AREA = Dimension("an area", "mm2", "1.5 mm2", "16 AWG", 1e5)
TEMPERATURE = Dimension("a temperature", "degC", "40 degC", "104 degF", 400.0, -90.0)
TIME = Dimension("a time", "s", "0.2 s", "200 ms", 1e6)
MASS = Dimension("a mass", "g", "640 g", "0.64 kg", 1e9)
CAPACITY = Dimension("a capacity", "Ah", "180 Ah", "180000 mAh", 1e6)
RESISTANCE = Dimension("a resistance", "ohm", "0.005 ohm", "5 mohm", 1e3)
RESISTANCE_PER_LENGTH = Dimension("a resistance per length", "mohm/m", "13 mohm/m", "13 ohm/km", 1e6)
MASS_PER_LENGTH = Dimension("a mass per length", "g/m", "9 g/m", "9 kg/km", 1e6)

_NUMBER = r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?"
_QUANTITY = re.compile(rf"({_NUMBER})\s*(\S.*)?")
_WORD = r"[A-Za-z_µμΩΩ°%]+(?:\^?[23²³])?"
_UNIT = re.compile(rf"{_WORD}(?:[/*·]{_WORD})*")
_SPACES = dict.fromkeys(map(ord, "\u00a0\u2007\u2009\u202f"), " ") | {ord("\u2212"): "-"}


def plain(text: str) -> str:
    """Text with typographic spaces and minus signs as typed ones."""
    return text.translate(_SPACES).strip()


@lru_cache(maxsize=4096)
def read_quantity(text: str, dimension: Dimension, heading_unit: str | None = None) -> float:
    """Read a quantity.

    Parameters
    ----------
    text
        As written, such as ``8.3 A`` or ``104 degF``; a bare number only with a ``heading_unit``.
    dimension
        What it must measure. The result is in ``dimension.unit``.
    heading_unit
        Unit named in the heading of the column, if any; a unit in the text goes before it.

    Raises
    ------
    UnreadableError
        With what is wrong and what would do.
    """
    number, unit = split_quantity(text, dimension)
    if dimension is AREA and unit is None and gauge_area_mm2(text) is not None:
        return float(gauge_area_mm2(text) or 0.0)
    unit = unit or heading_unit
    if unit is None:
        raise UnreadableError("has no unit", dimension.remedy)
    return _within(convert(number, unit, dimension), dimension)


def split_quantity(text: str, dimension: Dimension) -> tuple[float, str | None]:
    """Split text into its number and its unit (None where it has none)."""
    clean = plain(text)
    if dimension is AREA and gauge_area_mm2(clean) is not None:
        return 0.0, None
    found = _QUANTITY.fullmatch(clean)
    if found is None:
        raise _not_a_quantity(clean, dimension)
    number = float(found[1])
    if not isfinite(number):
        raise UnreadableError("is not a finite number", dimension.remedy)
    unit = found[2]
    if unit is not None and not _UNIT.fullmatch(unit):
        raise _odd_unit(clean, unit, dimension)
    return number, unit


def convert(number: float, unit: str, dimension: Dimension) -> float:
    """Convert a number in some unit to the unit of the dimension."""
    if unit == dimension.unit:
        return number
    if dimension.unit == "degC":
        return _celsius(number, unit, dimension)
    return number * _factor(unit, dimension)


def is_unit_of(unit: str, dimension: Dimension) -> bool:
    """Whether Pint knows the unit, and knows it to measure the dimension."""
    try:
        convert(1.0, unit, dimension)
    except UnreadableError:
        return False
    return True


def _within(value: float, dimension: Dimension) -> float:
    if dimension.low == 0.0 and value < 0.0:
        raise UnreadableError("is negative", f"Give {dimension.noun} of 0 or more")
    if 0.0 < abs(value) < dimension.least:
        wrong = f"comes to {value:g} {dimension.unit}, which is smaller than anything real"
        raise UnreadableError(wrong, "Check the number and its unit, or write 0")
    if not dimension.low <= value <= dimension.high:
        bounds = f"{dimension.low:g} to {dimension.high:g} {dimension.unit}"
        raise UnreadableError(
            f"comes to {value:g} {dimension.unit}, outside of {bounds}", "Check the number and its unit"
        )
    return value


def _not_a_quantity(text: str, dimension: Dimension) -> UnreadableError:
    if "," in text and _QUANTITY.fullmatch(text.replace(",", ".", 1)):
        return comma(text)
    if text.lower().lstrip("+-").startswith(("nan", "inf")):
        return UnreadableError("is not a finite number", dimension.remedy)
    return UnreadableError(f"is not {dimension.noun}", dimension.remedy)


def comma(text: str) -> UnreadableError:
    """The error of a number written with a comma, which is never guessed at."""
    ways = f"'{text.replace(',', '.', 1)}' if the comma marks the decimals"
    if re.search(r",[0-9]{3}(?![0-9])", text):
        ways += f", '{text.replace(',', '', 1)}' if it marks the thousands"
    return UnreadableError("has a comma in its number", f"Write {ways}")


def _odd_unit(text: str, unit: str, dimension: Dimension) -> UnreadableError:
    if unit[0] == ",":
        return comma(text)
    if unit[0].isdigit():
        return UnreadableError("has a space inside its number", f"Write '{text.replace(' ', '', 1)}'")
    return UnreadableError(f"is not {dimension.noun}: '{unit}' is not one unit", dimension.remedy)


def _celsius(number: float, unit: str, dimension: Dimension) -> float:
    known = _parsed(unit, dimension)
    registry = _registry()
    if known.dimensionality != registry.parse_units("kelvin").dimensionality:
        raise _wrong_dimension(unit, dimension)
    _ensure_written(unit, dimension)
    # built from number and unit: Pint refuses to multiply a number by degrees Celsius
    return round(float(registry.Quantity(number, known).to("degree_Celsius").magnitude), 9)


@lru_cache(maxsize=512)
def _factor(unit: str, dimension: Dimension) -> float:
    """What a number in ``unit`` is multiplied by; a unit with an offset or a logarithm is refused."""
    known = _parsed(unit, dimension)
    target = _registry().parse_units(_pint_text(dimension.unit))
    if known.dimensionality != target.dimensionality:
        raise _wrong_dimension(unit, dimension)
    quantity = _registry().Quantity
    try:
        zero, one = (float(quantity(n, known).to(target).magnitude) for n in (0.0, 1.0))
    except ArithmeticError:
        zero, one = 1.0, 1.0
    if zero != 0.0:
        raise _wrong_dimension(unit, dimension)
    _ensure_written(unit, dimension)
    # 1000 mm is 1 m, not 1.0000000000000002: the factor has at most 12 digits that mean anything
    return float(f"{one:.12g}")


def _ensure_written(unit: str, dimension: Dimension) -> None:
    """Raise where a unit measures the right thing but is not one that people write."""
    if not is_written(unit, dimension.unit):
        raise UnreadableError(f"is in '{unit}', which is not a unit used for {dimension.noun}", dimension.remedy)


def _wrong_dimension(unit: str, dimension: Dimension) -> UnreadableError:
    return UnreadableError(f"is not {dimension.noun}: '{unit}' measures something else", dimension.remedy)


def _parsed(unit: str, dimension: Dimension) -> pint.Unit:
    registry = _registry()
    try:
        return registry.parse_units(_pint_text(unit))
    except Exception as error:
        # Pint raises errors of many kinds (AssertionError too) for text that is no unit
        raise UnreadableError(f"has an unknown unit '{unit}'", dimension.remedy) from error


def _pint_text(unit: str) -> str:
    text = unit.replace("²", "2").replace("³", "3").replace("·", "*").replace("^", "")
    return re.sub(r"(?<=[A-Za-zµμΩΩ])([23])", r"**\1", text)


@lru_cache(maxsize=1)
def _registry() -> pint.UnitRegistry[float]:
    import pint

    return pint.UnitRegistry()
