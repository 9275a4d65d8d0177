"""The machine as a route network: places, segments, bulkheads, measured runs."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from allocator.problem import bounds
from allocator.problem.loads import CHASSIS, SOURCE
from allocator.problem.self_checks import Checks


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

    def __post_init__(self) -> None:
        checks = Checks("places", self.name)
        checks.named(self.name, "place")
        own = self.name not in (CHASSIS, SOURCE)
        checks.need(own, "place", self.name, "means something else where a return is given", "Choose another name")
        given = {"x": self.x_m, "y": self.y_m, "z": self.z_m}
        for column, value in given.items():
            checks.finite(value, column)
            some = any(other is not None for other in given.values())
            checks.need(
                value is not None or not some,
                column,
                None,
                "is missing beside the others",
                "Give x, y and z, or none",
            )
        checks.finite(self.ambient_c, "ambient")
        checks.positive(self.stud_a, "stud")
        checks.not_negative(self.units, "units")
        checks.at_most(self.units, bounds.MOST_UNITS_AT_PLACE, "units")
        checks.done()

    @property
    def located(self) -> bool:
        """Whether the place has coordinates."""
        return self.x_m is not None


class Line(StrEnum):
    """What a conductor is: a cable where its size comes from the cable table, else a wire."""

    WIRE = "wire"
    CABLE = "cable"


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """A stretch of harness between two places. ``insulation_c``: least insulation rating of a wire in it.

    ``factor`` is what conduit or foam leaves of the currents of a bundle there; ``only`` is what may pass where not
    everything may. ``wires`` and ``loading`` are the most wires and the most loading of the bundle, where bundles go by
    the table; None: the margins'.
    """

    start: str
    end: str
    length_m: float
    ambient_c: float | None = None
    bulkhead: str | None = None
    insulation_c: float | None = None
    factor: float = 1.0
    only: Line | None = None
    wires: int | None = None
    loading: float | None = None
    extra: tuple[tuple[str, str], ...] = ()

    def __post_init__(self) -> None:
        checks = Checks("segments", self.name)
        wrong, remedy = "is where the segment begins", "Name two places"
        checks.need(self.start != self.end, "to", self.end, wrong, remedy)
        checks.not_negative(self.length_m, "length")
        checks.finite(self.ambient_c, "ambient")
        checks.finite(self.insulation_c, "insulation")
        checks.share(self.factor, "bundle")
        checks.bundle_wires(self.wires, "bundle wires")
        checks.share(self.loading, "bundle loading")
        checks.done()

    @property
    def name(self) -> str:
        """Words for messages."""
        return f"{self.start} - {self.end}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A length measured on the machine, between a load (or every load of an item) and a site."""

    load: str
    site: str
    length_m: float

    def __post_init__(self) -> None:
        checks = Checks("runs", self.name)
        checks.not_negative(self.length_m, "length")
        checks.done()

    @property
    def name(self) -> str:
        """Words for messages."""
        return f"{self.load} - {self.site}"


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactSet:
    """Alike contacts (or holes, in a gland) of a bulkhead. ``continuous_a`` None: no rating of its own."""

    count: int
    wire_mm2: tuple[float, float]
    continuous_a: float | None = None
    resistance_ohm: float = 0.0

    def __post_init__(self) -> None:
        checks = Checks("bulkheads", "contacts")
        checks.need(self.count >= 1, "count", self.count, "is less than 1", "Say how many there are")
        checks.at_most(self.count, bounds.MOST_CONTACTS, "count")
        checks.wire_range(self.wire_mm2, "wire")
        checks.positive(self.continuous_a, "continuous")
        checks.not_negative(self.resistance_ohm, "resistance")
        checks.done()


@dataclass(frozen=True, slots=True, kw_only=True)
class Bulkhead:
    """A pass-through; ``studs`` feeds may cross it."""

    name: str
    kind: str = "connector"
    contacts: tuple[ContactSet, ...] = ()
    studs: int = 0

    def __post_init__(self) -> None:
        checks = Checks("bulkheads", self.name)
        checks.named(self.name, "name")
        good = self.kind in ("connector", "gland")
        checks.need(good, "kind", self.kind, "is neither connector nor gland", "Write one of the two")
        checks.not_negative(self.studs, "studs")
        checks.at_most(self.studs, bounds.MOST_CONTACTS, "studs")
        checks.at_most(len(self.contacts), bounds.MOST_CLASSES, "contacts", "Put alike contacts into one set")
        wrong = "is empty and there are no studs, so nothing can cross"
        checks.need(bool(self.contacts or self.studs), "contacts", None, wrong, "Give contacts, studs or both")
        checks.done()


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

    def __post_init__(self) -> None:
        checks = Checks("wires", self.name)
        checks.named(self.name, "wire")
        checks.need(self.cores >= 1, "cores", self.cores, "is less than 1", "Say how many cores it has")
        checks.at_most(self.cores, bounds.MOST_CORES, "cores", "Give the wires of each cable a row")
        checks.not_negative(self.current_a, "current")
        checks.done()
