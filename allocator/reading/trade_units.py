"""Units that people of the trade write, by what they measure.

The library behind knows many more, and makes 0.05 A of ``5 %A``, 50 A of ``5 abampere`` and next to nothing of
``5 elementary_charge/s``: nobody means those, so they are refused.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from itertools import product

_PREFIXES = {"": "", "n": "nano", "u": "micro", "μ": "micro", "m": "milli", "k": "kilo", "M": "mega"}
_Named = Mapping[str, tuple[str, ...]]
_CURRENT: _Named = {"A": ("ampere", "amperes", "amp")}
_POWER: _Named = {"W": ("watt", "watts"), "VA": ()}
_VOLTAGE: _Named = {"V": ("volt", "volts")}
_TIME: _Named = {"s": ("second", "seconds")}
_RESISTANCE: _Named = {"ohm": ("ohm", "ohms"), "Ω": ()}
_OTHERS: _Named = {
    "W": ("hp", "horsepower", "metric_horsepower"),
    "s": ("sec", "min", "minute", "minutes", "h", "hr", "hour", "hours"),
    "Ah": ("A*s", "A*min"),
}
_CAPACITY: _Named = {"Ah": (), "A*h": ("ampere_hour", "ampere_hours", "amp_hour", "amp_hours")}
_LENGTHS = frozenset(
    {
        "m", "meter", "meters", "metre", "metres", "mm", "millimeter", "millimeters", "millimetre",
        "millimetres", "cm", "centimeter", "centimeters", "centimetre", "centimetres", "dm", "km",
        "kilometer", "kilometers", "kilometre", "kilometres", "um", "μm", "in", "inch", "inches", "ft",
        "foot", "feet", "yd", "yard", "yards", "mi", "mile", "miles", "thou"
    }
)  # fmt: skip
_MASSES = frozenset(
    {
        "g", "gram", "grams", "kg", "kilogram", "kilograms", "mg", "t", "tonne", "tonnes", "lb", "lbs",
        "pound", "pounds", "oz", "ounce", "ounces"
    }
)  # fmt: skip
_AREAS = frozenset(
    {
        "mm2", "cm2", "dm2", "m2", "in2", "inch2", "mm*mm", "square_millimeter", "square_inch",
        "circular_mil", "cmil", "kcmil"
    }
)  # fmt: skip
_TEMPERATURES = frozenset(
    {
        "degC", "°C", "celsius", "degree_Celsius", "degreeC", "degF", "°F", "fahrenheit", "degree_Fahrenheit",
        "degreeF", "K", "kelvin", "degK"
    }
)  # fmt: skip


@cache
def units_of(unit: str) -> frozenset[str]:
    """Every way to write a unit that measures the same as ``unit``, which is one that quantities have inside."""
    if "/" in unit:
        above, below = unit.split("/")
        return frozenset(f"{one}/{other}" for one, other in product(units_of(above), units_of(below)))
    plain = {"m": _LENGTHS, "mm": _LENGTHS, "g": _MASSES, "mm2": _AREAS, "degC": _TEMPERATURES}
    if unit in plain:
        return plain[unit]
    named: dict[str, _Named] = {
        "A": _CURRENT, "W": _POWER, "V": _VOLTAGE, "s": _TIME, "ohm": _RESISTANCE, "mohm": _RESISTANCE, "Ah": _CAPACITY,
    }  # fmt: skip
    prefixed = named[unit]
    short = {f"{prefix}{symbol}" for prefix in _PREFIXES for symbol in prefixed}
    long = {f"{prefix}{name}" for prefix in _PREFIXES.values() for names in prefixed.values() for name in names}
    return frozenset({*short, *long, *_OTHERS.get(unit, ())})


def is_written(text: str, unit: str) -> bool:
    """Whether a unit is written as people of the trade write one that measures the same as ``unit``."""
    letters: dict[str, str | int | None] = {"²": "2", "^": "", "·": "*", "\u00b5": "μ", "\u2126": "Ω", " ": ""}
    return text.translate(str.maketrans(letters)) in units_of(unit)
