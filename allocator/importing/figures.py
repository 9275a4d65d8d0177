"""Figures as people write them: decimal commas, thousands, ranges, feet and inches, 'about 5', 'TBC'."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from allocator.reading.quantities import plain

UNITS = {
    "a": "A", "amp": "A", "amps": "A", "ampere": "A", "amperes": "A", "ma": "mA", "milliamps": "mA",
    "w": "W", "watt": "W", "watts": "W", "wattage": "W", "kw": "kW", "mw": "mW",
    "v": "V", "volt": "V", "volts": "V", "vdc": "V", "v dc": "V",
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m", "cm": "cm", "mm": "mm",
    "ft": "ft", "feet": "ft", "foot": "ft", "'": "ft", "in": "in", "inch": "in", "inches": "in", '"': "in",
    "°c": "degC", "c": "degC", "degc": "degC", "deg c": "degC", "celsius": "degC", "° c": "degC",
    "°f": "degF", "f": "degF", "degf": "degF", "deg f": "degF", "fahrenheit": "degF", "° f": "degF",
    "s": "s", "sec": "s", "secs": "s", "seconds": "s", "ms": "ms",
    "%": "%", "ah": "Ah", "wh": "Wh", "mm2": "mm2", "mm²": "mm2", "sqmm": "mm2", "awg": "AWG",
}  # fmt: skip
"""Units by what people call them, in small letters."""

_UNKNOWN = re.compile(
    r"t\.?b\.?[cdan]\.?|n\.?/?a\.?|\?+|[-–—]+|\.{2,}|x{2,}|unknown|unk\.?|not known|none given|pending|ask.*|see .*"
    r"|to be .*|to follow|open|offen|unbekannt|k\.?a\.?",
    re.IGNORECASE,
)
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_ABOUT = re.compile(r"(?:~|≈|ca\.?|circa|c\.|approx\.?|approximately|about|around|abt\.?|up to|max\.?|<=?|≤)\s*", re.I)
_AT_LEAST = re.compile(r"(?:>=?|≥|min\.?|at least|over|more than)\s*\d", re.IGNORECASE)
_EACH = re.compile(r"\s*(?:\beach|\bea\.?|\bper item|\bmax\.?|\bnom\.?|\btyp\.?|/ea\.?)\s*$", re.IGNORECASE)
_AT_VOLTS = re.compile(r"\s*(?:@|\bat)\s*([0-9]+(?:[.,][0-9]+)?)\s*(?:v(?:olts?)?(?:\s*(?:dc|ac))?)?\s*$", re.I)
_ASIDE = re.compile(r"\s*\(([^()]*)\)\s*")
_NUMBER = r"[0-9]+(?:[.,'][0-9]+| [0-9]{3}(?![0-9]))*|[.,][0-9]+"
_THOUSANDS = re.compile(r"[0-9]{1,3}(?:[.,][0-9]{3})+")
_UNIT = r"[A-Za-zµ°'\"%²]+(?: ?[A-Za-z]+)?[2²]?"
_ONE = re.compile(rf"([+-]?)({_NUMBER})\s*({_UNIT})?\.?")
_RANGE = re.compile(
    rf"({_NUMBER})\s*((?:{_UNIT})?)\s*(?:-|–|—|\bto\b|\bbis\b|\.\.+|…)\s*({_NUMBER})\s*({_UNIT})?\.?", re.IGNORECASE
)
_FEET_INCHES = re.compile(r"([0-9]+)\s*(?:'|ft|feet|foot)\s*([0-9]+(?:\.[0-9]+)?)\s*(?:\"|''|in|inch|inches)", re.I)
_TWO_WAYS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")  # decimals or thousands, by what other cells show
_DECIMAL_COMMA = re.compile(r"(?<![0-9.,])[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})(?![0-9.,])|(?<![0-9])0,[0-9]+")
_DECIMAL_POINT = re.compile(r"(?<![0-9.,])[0-9]+\.(?:[0-9]{1,2}|[0-9]{4,})(?![0-9.,])|(?<![0-9])0\.[0-9]+")


class NotKnownError(ValueError):
    """No figure can be told from a text: why not."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number and its unit (empty where the text has none).

    ``said`` tells what was settled to read it, ``ignored`` what beside it was not read, ``at_volts`` the voltage it is
    stated at.
    """

    value: float
    unit: str
    said: tuple[str, ...] = ()
    at_volts: float | None = None
    ignored: tuple[str, ...] = ()

    def text(self) -> str:
        """As a cell of a problem folder."""
        return f"{self.value:.10g} {self.unit}".strip()


def unit_named(text: str) -> str | None:
    """The unit that a word means; None where it means none."""
    return UNITS.get(" ".join(plain(text).lower().replace(".", "").split()))


def decimal_mark(texts: Iterable[str]) -> str | None:
    """The decimal mark that texts show; None where they show none, or both alike often."""
    marks: Counter[str] = Counter()
    for text in texts:
        marks[","] += len(_DECIMAL_COMMA.findall(text))
        marks["."] += len(_DECIMAL_POINT.findall(text))
    if marks[","] == marks["."]:
        return None
    return "," if marks[","] > marks["."] else "."


def number(text: str, mark: str | None) -> float:
    """A number with its marks for decimals and thousands.

    ``1,250`` is 1.25 or 1250 by what other cells show (``mark``), and nothing where they show nothing.

    Raises
    ------
    NotKnownError
        Where it can be read in two ways, or in none.
    """
    bare = text.replace(" ", "").replace("'", "")
    commas, points = bare.count(","), bare.count(".")
    if commas and points:
        last = max(",.", key=bare.rfind)
        other = "." if last == "," else ","
        whole, _, part = bare.partition(last)
        if last in part or not _THOUSANDS.fullmatch(whole):
            raise NotKnownError("is not one number")
        bare = f"{whole.replace(other, '')}.{part}"
    elif commas + points > 1:
        if not _THOUSANDS.fullmatch(bare):
            raise NotKnownError("is not one number")
        bare = bare.replace(",", "").replace(".", "")
    elif commas + points == 1:
        here = "," if commas else "."
        whole, part = bare.split(here)
        thousands = len(part) == 3 and 1 <= len(whole) <= 3 and whole != "0"
        if thousands and (mark is None and here == ","):
            raise NotKnownError("has a comma that may mark decimals or thousands")
        bare = whole + part if thousands and mark is not None and mark != here else f"{whole}.{part}"
    try:
        return float(bare)
    except ValueError:
        raise NotKnownError("is not one number") from None


def figure(text: str, mark: str | None) -> Figure:
    """The figure that a cell gives: of a range the upper end, and what stands about it is said.

    Raises
    ------
    NotKnownError
        With the reason, where no figure can be told without guessing.
    """
    clean = plain(text)
    if not clean:
        raise NotKnownError("is empty")
    if _UNKNOWN.fullmatch(clean):
        raise NotKnownError("says that it is not known")
    if _DATE.match(clean):
        raise NotKnownError("is a date, and may have been a range such as 8-12 before a spreadsheet read it")
    if "?" in clean:
        raise NotKnownError("is marked as doubtful")
    if _AT_LEAST.match(clean):
        raise NotKnownError("gives only the least it may be")
    asides = _ASIDE.findall(clean)
    # a unit in brackets is the unit, not an aside
    clean = _ASIDE.sub(lambda found: f" {found[1]} " if unit_named(found[1]) else " ", clean).strip()
    ignored = tuple(f"'({aside})' is ignored" for aside in asides if not unit_named(aside))
    volts = _AT_VOLTS.search(clean)
    at_volts = None
    if volts is not None and volts.start() > 0:
        at_volts = number(volts[1], mark)
        clean = clean[: volts.start()]
    about = _ABOUT.match(clean)
    found = _within(_EACH.sub("", clean[about.end() :] if about else clean).strip(), mark)
    said = (*found.said, "is taken as that") if about else found.said
    return Figure(found.value, found.unit, said, at_volts, ignored)


def _within(text: str, mark: str | None) -> Figure:
    feet = _FEET_INCHES.fullmatch(text)
    if feet is not None:
        return Figure(round(float(feet[1]) + float(feet[2]) / 12.0, 4), "ft")
    one = _ONE.fullmatch(text)
    if one is not None:
        if one[1] == "-":
            raise NotKnownError("is negative")
        value = number(one[2], mark)
        said = (f"is taken as {value:.10g}",) if _TWO_WAYS.fullmatch(one[2]) else ()
        return Figure(value, _unit(one[3]), said)
    span = _RANGE.fullmatch(text)
    if span is None:
        figures = len(re.findall(r"[0-9]+(?:[.,][0-9]+)?", text))
        raise NotKnownError("holds several figures" if figures > 1 else "is not a readable figure")
    low, high = number(span[1], mark), number(span[3], mark)
    if low > high or (span[2] and span[4] and _unit(span[2]) != _unit(span[4])):
        raise NotKnownError("is not a range from less to more")
    return Figure(high, _unit(span[4] or span[2]), ("is a range: the upper end is used",))


def _unit(text: str | None) -> str:
    if not text:
        return ""
    unit = unit_named(text)
    if unit is None:
        raise NotKnownError(f"has an unknown unit ('{text.strip()}')")
    return unit
