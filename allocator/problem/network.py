"""The machine as a route network: places, segments, bulkheads, measured runs."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A named spot. ``ambient_c`` None: the system's. ``stud_a`` None: no ground stud here."""

    name: str
    x_m: float | None = None
    y_m: float | None = None
    z_m: float | None = None
    ambient_c: float | None = None
    wet: bool = False
    stud_a: float | None = None
    units: int = 1
    extra: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """A stretch of harness between two places. ``insulation_c``: least insulation rating of a wire in it."""

    start: str
    end: str
    length_m: float
    ambient_c: float | None = None
    bulkhead: str | None = None
    insulation_c: float | None = None
    extra: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A length measured on the machine, between a load (or every load of an item) and a site."""

    load: str
    site: str
    length_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactSet:
    """Alike contacts (or holes, in a gland) of a bulkhead. ``continuous_a`` None: no rating of its own."""

    count: int
    wire_mm2: tuple[float, float]
    continuous_a: float | None = None
    resistance_ohm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bulkhead:
    """A pass-through; ``studs`` feeds may cross it."""

    name: str
    kind: str = "connector"
    contacts: tuple[ContactSet, ...] = ()
    studs: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenWire:
    """A wire that is given, not optimised."""

    name: str
    start: str
    end: str
    size: str
    cores: int = 1
    current_a: float = 0.0
    extra: tuple[tuple[str, str], ...] = ()
