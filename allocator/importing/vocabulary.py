"""What people call the columns of a schedule: words of the trade, in English and a little German and French."""

from __future__ import annotations

import re
from dataclasses import dataclass

from allocator.importing.figures import unit_named
from allocator.problem.near_misses import key_of
from allocator.reading.loads import LOAD_COLUMNS

# roles a column may have; what has none is carried along
NAME, NUMBER_OFF, RUNNING_NUMBER, PLACE = "name", "number", "running number", "place"
CURRENT, HIGHEST, POWER, TOTAL_CURRENT, TOTAL_POWER = "current", "highest current", "power", "all current", "all power"
VOLTAGE, LENGTH, AMBIENT, WIRE, FUSE, IN_HAND, CONDITION = (
    "voltage", "length", "ambient", "wire", "fuse", "in hand", "condition",
)  # fmt: skip
ENERGY, PEAK, OTHER = "energy", "peak", "carried along"
DRAWS = (CURRENT, HIGHEST, POWER, TOTAL_CURRENT, TOTAL_POWER)
"""Roles that say what an item draws."""
DIRECT = tuple(
    column
    for column in (*LOAD_COLUMNS.needed, *LOAD_COLUMNS.optional)
    if column not in ("load", "place", "current", "quantity", "type", "unit", "output", "needs", "return")
)
"""Columns of ``loads.csv`` that a schedule may have under their own names."""

_AMPERES = {"a", "amp", "amps", "ampere", "amperes", "ma", "current", "draw", "consumption", "strom", "courant", "i"}
_WATTS = {"w", "watt", "watts", "power", "wattage", "kw", "leistung", "puissance", "va"}
_ALL = {"total", "totals", "all", "combined", "extended", "line", "sum", "gesamt", "summe", "overall"}
_FUSES = {"fuse", "fuses", "breaker", "cb", "mcb", "protection", "sicherung", "fusible", "trip"}
_TIMES = {"time", "duration", "ms", "seconds", "s", "sec"}
_STARTS = {"inrush", "start", "starting", "surge", "startup", "anlauf"}
_HIGH = {"max", "maximum", "peak", "highest", "worst", "largest"}
_LOW = {"min", "minimum", "standby", "sleep", "quiescent", "idle", "off"}
_IN_HAND = {"hand", "have", "got", "stock", "bought", "ordered", "purchased", "delivered", "here", "vorhanden", "owned"}
_OTHER = {
    "remark", "remarks", "note", "notes", "comment", "comments", "info", "link", "url", "supplier", "price", "cost",
    "part", "model", "make", "maker", "manufacturer", "sku", "code", "order", "bemerkung", "colour", "color", "status",
    "weight", "mass", "switch", "datasheet", "type", "category", "priority",
}  # fmt: skip
_PLACES = {
    "where", "location", "place", "position", "zone", "compartment", "area", "room", "mounted", "fitted", "ort",
    "einbauort", "emplacement", "loc", "station", "side", "sits", "located", "locations", "places", "situated",
}  # fmt: skip
_COUNTS = {
    "qty", "quantity", "pcs", "pieces", "count", "many", "off", "nos", "anzahl", "stück", "stk", "quantité", "quant",
}  # fmt: skip
_NUMBERS = {"no", "number", "nr", "#", "num"}
_RUNNING = {"pos", "ref", "id", "row", "index", "reference", "item"}
_NAMES = {
    "item": 3, "description": 5, "device": 5, "load": 5, "equipment": 5, "consumer": 5, "component": 5, "name": 4,
    "appliance": 5, "what": 4, "circuit": 2, "function": 2, "designation": 5, "product": 4, "article": 4, "loads": 5,
    "verbraucher": 5, "bezeichnung": 5, "désignation": 5, "gerät": 5, "items": 3, "consumers": 5, "service": 2,
}  # fmt: skip
_CONDITIONS = {
    "day", "night", "driving", "parked", "moored", "anchor", "anchored", "underway", "way", "sailing", "motoring",
    "cruise", "cruising", "working", "work", "idle", "standby", "overnight", "harbour", "harbor", "port", "camp",
    "site", "road", "transit", "emergency", "winter", "summer", "engine", "surgery", "loading", "boarding", "fishing",
    "trolling", "docked", "alongside", "charging", "cooking", "sleeping", "rest", "operating", "towing", "pumping",
}  # fmt: skip

_BRACKETS = re.compile(r"[\[(]([^\[\]()]*)[\])]")
_FIGURE = r"([0-9]+(?:[.,][0-9]+)?)"
_AT = re.compile(rf"(?:@|\bat)\s*{_FIGURE}\s*v?\b|\b{_FIGURE}\s*v(?:dc|ac)?\b", re.IGNORECASE)
_IN_UNIT = re.compile(r"(?:[,/]|\bin)\s+([^\s]+)$", re.IGNORECASE)


def of_no_use(heading: str) -> bool:
    """Whether a heading says that figures below it are of no use here, such as prices."""
    return bool(set(re.findall(r"[^\W\d_]+", heading.lower())) & _OTHER)


def likely_unit(role: str) -> str:
    """What a bare figure under a heading without a unit most likely means; empty where nobody could say."""
    return _FITTING_UNITS[role][0] if role in (*DRAWS, VOLTAGE) else ""


@dataclass(frozen=True, slots=True)
class Heading:
    """What a heading says: a role, a unit, volts that figures are stated at, how well it names the item.

    ``own`` is the column of ``loads.csv`` that it is, where it is one.
    """

    role: str = OTHER
    unit: str = ""
    at_volts: float | None = None
    rank: int = 0
    own: str = ""
    each: bool = False
    average: bool = False
    both_ways: bool = False
    peak: bool = False


def understood(text: str) -> Heading:
    """The role of a column by its heading alone."""
    at = _AT.search(text)
    bare = _AT.sub(" ", text)
    unit = ""
    for inner in _BRACKETS.findall(bare):
        unit = unit_named(inner) or unit
    bare = _BRACKETS.sub(lambda found: " " if unit_named(found[1]) else f" {found[1]} ", bare).strip()
    trailing = _IN_UNIT.search(bare)
    if trailing is not None and unit_named(trailing[1]) and not unit:
        unit, bare = unit_named(trailing[1]) or "", bare[: trailing.start()]
    unit = unit or unit_named(bare) or ""
    own = key_of(bare)
    words = set(re.findall(r"[^\W\d_]+|#|mm2|mm²|°[cf]", bare.lower().replace("_", " ")))
    at_volts = None if at is None else float((at[1] or at[2]).replace(",", "."))
    if own in DIRECT:
        return Heading(own, unit, at_volts, own=own)
    role, rank = _role(words, unit)
    fitting = _FITTING_UNITS.get(role, (unit,))
    # 'in' is rather a word than a unit where it stands among others
    named = [unit, *(unit_named(word) or "" for word in sorted(words - {"in"}))]
    return Heading(
        role,
        next((one for one in named if one and one in fitting), ""),
        at_volts,
        rank,
        own=role if role in DIRECT else "",
        each=bool(words & {"each", "ea", "per", "single", "unit"}),
        average=bool(words & {"average", "avg", "typical", "typ", "mean", "nominal"}),
        peak="peak" in words and role == HIGHEST,
        both_ways=bool(words & {"return", "round", "both", "there"}) and role == LENGTH,
    )


_FITTING_UNITS = {
    CURRENT: ("A", "mA"), HIGHEST: ("A", "mA"), TOTAL_CURRENT: ("A", "mA"),
    POWER: ("W", "kW", "mW"), TOTAL_POWER: ("W", "kW", "mW"), LENGTH: ("m", "ft", "cm", "mm", "in"),
    AMBIENT: ("degC", "degF"), WIRE: ("AWG", "mm2"), VOLTAGE: ("V",), "inrush_time": ("s", "ms"),
    "inrush": ("A", "mA"), "stall": ("A", "mA"), "max_trip": ("A", "mA"), "max_drop": ("%",),
}  # fmt: skip
"""Units that figures of a role may be in; the first is what a bare figure most likely means, and is said to."""


def _role(words: set[str], unit: str) -> tuple[str, int]:
    """The role that words and unit mean, and for names how surely."""
    role = _protection(words) or _electrical(words, unit) or _fitting(words, unit)
    if role is not None:
        return role, 0
    if words & _OTHER and not words & {"description", "name"}:
        return OTHER, 0
    if words & _COUNTS:
        return NUMBER_OFF, 2
    if words & _NUMBERS:
        # 'No.' counts items, or numbers the rows: what stands below it decides
        return (RUNNING_NUMBER, 0) if words & _RUNNING or words & set(_NAMES) else (NUMBER_OFF, 1)
    ranks = [_NAMES[word] for word in words if word in _NAMES]
    if ranks:
        return NAME, max(ranks)
    if words & _RUNNING:
        return RUNNING_NUMBER, 0
    return (CONDITION, 0) if words & _CONDITIONS else (OTHER, 0)


def _protection(words: set[str]) -> str | None:
    if words & _FUSES and "round" not in words:
        return "max_trip" if words & _HIGH else FUSE
    if words & _STARTS and not words & {"battery"}:
        return "inrush_time" if words & _TIMES else "inrush"
    if words & {"stall", "stalled"}:
        return "stall"
    return None


def _electrical(words: set[str], unit: str) -> str | None:
    if unit in ("Ah", "Wh") or words & {"ah", "wh", "hours", "h", "energy"}:
        return ENERGY
    if words & {"drop"}:
        return "max_drop" if words & _HIGH else OTHER
    amperes = unit in ("A", "mA") or bool(words & _AMPERES)
    watts = unit in ("W", "kW", "mW") or (bool(words & _WATTS) and unit not in ("A", "mA"))
    if not (amperes or watts):
        return VOLTAGE if unit == "V" or words & {"v", "volt", "volts", "voltage", "spannung", "tension"} else None
    if words & _LOW:
        return OTHER
    if words & _ALL:
        return TOTAL_POWER if watts else TOTAL_CURRENT
    if watts:
        return POWER
    return HIGHEST if words & _HIGH else CURRENT


def _fitting(words: set[str], unit: str) -> str | None:
    if unit in ("degC", "degF") or words & {"ambient", "temp", "temperature", "hottest"}:
        return AMBIENT
    if words & {"awg", "gauge", "csa", "mm2", "mm²", "conductor"} or unit in ("mm2", "AWG"):
        return WIRE
    length = words & {"length", "run", "distance", "round", "länge", "longueur"}
    if words & {"wire", "cable", "wiring"} and not length and not words & {"colour", "color"}:
        return WIRE
    if length or unit in ("m", "ft", "cm"):
        return LENGTH
    if words & _IN_HAND:
        return IN_HAND
    if words & _PLACES:
        return PLACE
    return None
