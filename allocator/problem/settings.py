"""What is single in a problem: sources, margins, prices, wire choice, functions."""

from __future__ import annotations

from dataclasses import dataclass

FAILURES = ("source", "feed", "unit", "bank", "output", "bulkhead", "stud")


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A battery or other supply. ``supply_a`` holds (condition, amperes that charge it)."""

    name: str
    place: str
    supply_a: tuple[tuple[str, float], ...] = ()
    capacity_ah: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Margins:
    """Safety margins and allowances; every one has a stated default. Shares are fractions."""

    output_use: float = 0.80
    unit_use: float = 1.00
    trip: float = 1.25
    fuse_use: float = 0.80
    branch_drop: float = 0.03
    feed_drop: float = 0.02
    tail_m: float = 0.30
    ground_lead_m: float = 0.30
    route_factor: float = 1.2
    robust: int = 0
    bundle: bool = True
    bundle_loading: float = 0.60
    ampacity: float = 0.80
    splice_wires: int = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """Grams of copper that one of each is worth; ``unit_mass`` is the share of a unit's mass that counts."""

    unused_output_g: float = 15.0
    used_output_g: float = 17.0
    unit_mass: float = 0.0
    splice_g: float = 3.0
    move_g: float = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WireRules:
    """Which wire may be used: least insulation rating, sizes on the shelf (empty: all), smallest area."""

    insulation_c: float = 100.0
    sizes: tuple[str, ...] = ()
    smallest_mm2: float = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """One row of a wire table. None: not in the table, computed from the area by ``allocator.wiring``."""

    size: str
    area_mm2: float
    insulation_c: float
    conductor_mm: float | None = None
    diameter_mm: float | None = None
    resistance_mohm_m: float | None = None
    mass_g_m: float | None = None
    lay: float = 1.0
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WireTable:
    """Wires one may choose from, sorted by area, then insulation."""

    name: str
    wires: tuple[Wire, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Function:
    """Loads that do one thing together: ``survive`` of them outlive any single failure named in ``against``."""

    name: str
    loads: tuple[str, ...]
    survive: int
    against: tuple[str, ...]
