"""Tables of the page that can be sorted and filtered, from flat records."""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from math import isfinite

from allocator.advising.failures import Failures
from allocator.advising.margins import Margins
from allocator.checking.bundles import Bundle
from allocator.checking.volts import Volts
from allocator.layout import Layout
from allocator.problem import Problem
from allocator.showing.beside import BESIDE
from allocator.showing.failing import called
from allocator.showing.loaded import LoadedOutput
from allocator.showing.records import JOIN, Record, circuit_records, wire_records
from allocator.showing.runs import Stretch
from allocator.showing.weak_points import margin_records, volt_records

UNITS = {"a": "A", "v": "V", "m": "m", "g": "g", "c": "degC", "percent": "%", "mm": "mm", "g_m": "g/m", "w_m": "W/m"}
DIGITS = {"A": 2, "V": 3, "m": 2, "g": 1, "degC": 0, "%": 2, "mm": 1, "g/m": 1, "W/m": 1, "": 3}
Value = str | float | int | None


@dataclass(frozen=True, slots=True)
class Cell:
    """What is read, and for a figure what it is sorted by; ``number`` cells without a figure are empty."""

    text: str
    order: float | str | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table with an id, a caption, headings (and whether figures stand below each) and rows."""

    id: str
    caption: str
    headings: tuple[tuple[str, bool], ...]
    rows: tuple[tuple[Cell, ...], ...]


def sheet(id_: str, caption: str, records: Sequence[Record], own: Sequence[str] = ()) -> Sheet:
    """Records as a table; columns in which nothing stands are left out.

    Keys with a unit at their end (``length_m``) get it into their heading; ``own`` are columns of the user's, which
    stay as they are.
    """
    names = [key for key in (records[0] if records else {}) if any(one[key] not in (None, "") for one in records)]
    numeric = {key: all(isinstance(one[key], int | float | None) for one in records) for key in names}
    words = {key: (key, "") if key in own else heading_of(key) for key in names}
    return Sheet(
        id=id_,
        caption=caption,
        headings=tuple((f"{word} {unit}".strip(), numeric[key]) for key, (word, unit) in words.items()),
        rows=tuple(tuple(_cell(one[key], words[key][1], numeric[key]) for key in names) for one in records),
    )


def heading_of(key: str) -> tuple[str, str]:
    """Words and unit of a key: 'drop_percent' is ('drop', '%'), 'current_a surgery' ('current surgery', 'A')."""
    name, _, rest = key.partition(" ")
    for ending in sorted(UNITS, key=len, reverse=True):
        if name.endswith(f"_{ending}"):
            words = f"{name.removesuffix(f'_{ending}')} {rest}".replace("_", " ").strip()
            return words, UNITS[ending]
    return f"{name} {rest}".replace("_", " ").strip(), ""


def _cell(value: Value, unit: str, numeric: bool) -> Cell:
    if not numeric:
        return Cell("" if value is None else f"{value}")
    if not isinstance(value, int | float):
        return Cell("", "")
    shown = f"{value:,}" if isinstance(value, int) else f"{value:,.{DIGITS[unit]}f}"
    return Cell(shown, value)


def circuits(problem: Problem, layout: Layout) -> Sheet:
    """Every circuit, direct loads too, with the user's own columns."""
    own = [name for load in problem.loads for name, _ in load.extra]
    return sheet("circuits", "Circuits", circuit_records(layout, problem), own)


def wires(layout: Layout, beside: AbstractSet[str] = frozenset()) -> Sheet:
    """Every piece of wire to cut but the feeds; ``beside`` are labels of cables that lie beside a bundle."""
    records = [one for one in wire_records(layout) if one["role"] != "feed"]
    return sheet("wires", "Wires", [{**one, **_lies(one, beside)} for one in records])


def _lies(wire: Record, beside: AbstractSet[str]) -> Record:
    return {"lies": BESIDE if wire["label"] in beside else ""}


def feeds(layout: Layout, beside: AbstractSet[str] = frozenset()) -> Sheet:
    """The feed of each unit, with the unit's site and its current in each condition."""
    at = {unit.name: unit for unit in layout.units}
    records: list[Record] = []
    for one in wire_records(layout):
        if one["role"] == "feed":
            unit = at[str(one["unit"])]
            feed = unit.feed
            drop = None if feed is None else feed.drop_percent
            kept = {k: v for k, v in one.items() if k not in ("role", "circuit", "pin", "loads", "contacts", "trip_a")}
            currents = {f"current_a {condition}": current for condition, current in unit.current_a}
            records.append({**kept, **_lies(one, beside), "drop_percent": drop, **currents})
    return sheet("feeds", "Feeds", records)


def volts(found: Volts) -> Sheet:
    """Volts at each load in each condition."""
    return sheet("volts", "Volts at the loads", volt_records(found))


def margins(found: Margins) -> Sheet:
    """What is left at each wire."""
    return sheet("margins", "Margins of every wire", margin_records(found))


def failures(found: Failures) -> Sheet:
    """Every single failure that takes anything."""
    records: list[Record] = [
        {
            "failure": called(one),
            "loads in all": len(one.loads),
            "loads at once": len(one.most_lost.loads),
            "current_a then": float(one.most_lost.current_a),
            "in": one.most_lost.condition if one.most_lost.loads else "",
            "functions gone": JOIN.join(one.gone),
            "functions degraded": JOIN.join(one.degraded),
            "which loads": JOIN.join(one.loads),
        }
        for one in found.worst(len(found.failures))
    ]
    return sheet("failures", "Single failures", records)


def stretches(found: Sequence[Stretch]) -> Sheet:
    """What lies in each stretch between two places; heat where bundles go by it."""
    records: list[Record] = [
        {
            "from": one.start,
            "to": one.end,
            "bulkhead": one.bulkhead,
            "length_m": one.length_m,
            **_lying(one),
            "copper_g_m": one.copper_g_m,
            **_warmth(one.bundle),
        }
        for one in found
    ]
    return sheet("stretches", "Stretches of harness", records)


def _lying(one: Stretch) -> Record:
    """Wires in the bundle and cables beside it; all of them where the check knows of no bundle there."""
    bundle = one.bundle
    if bundle is None:
        return {"wires": one.wires, "cables beside": None, "bundle_mm": None}
    return {
        "wires": bundle.wires,
        "cables beside": bundle.cables,
        "bundle_mm": bundle.diameter_mm if bundle.wires else None,
    }


def _warmth(bundle: Bundle | None) -> Record:
    """Heat of the warmest condition against what is allowed, and the highest loading."""
    warmest = None if bundle is None else bundle.warmest
    loading = bundle.fullest[1] if bundle is not None and bundle.wires else None
    return {
        "heat_w_m": None if warmest is None else warmest.heat_w_m + warmest.worst_w_m,
        "allowed_w_m": None if warmest is None else warmest.allowed_w_m,
        "heat_percent": None if warmest is None or not isfinite(warmest.share) else 100.0 * warmest.share,
        "in": "" if warmest is None else warmest.condition,
        "hottest wire": "" if warmest is None else warmest.hottest,
        "loading_percent": None if loading is None else 100.0 * loading,
    }


def outputs(id_: str, unit: str, found: Sequence[LoadedOutput], conditions: Sequence[str]) -> Sheet:
    """The outputs of one unit: the figures behind its strip."""
    records: list[Record] = [
        {
            "pin": one.pin,
            "bank": one.bank,
            "class": one.output_class,
            "feeds": one.feeds or f"({one.state})",
            "rating_a": one.rating_a,
            "may_use_a": one.allowed_a,
            "full_a": one.full_a or None,
            "trip_a": one.trip_a,
            **{f"current_a {name}": amperes for name, amperes in zip(conditions, one.current_a, strict=True)},
        }
        for one in found
    ]
    return sheet(id_, f"Outputs of unit {unit}", records)
