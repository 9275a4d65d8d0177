"""What is single in a problem: sources, margins, prices, wire rules, functions."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from allocator.problem import bounds
from allocator.problem.self_checks import Checks, circle_mm2

FAILURES = ("source", "feed", "unit", "bank", "output", "bulkhead", "stud")


class Bundling(StrEnum):
    """How the wires of a bundle are kept from heating each other: by their heat, by the published table, or not."""

    HEAT = "heat"
    TABLE = "table"
    NONE = "none"


class Cables(StrEnum):
    """Where cables lie: tied beside the bundle, or in it like wires."""

    BESIDE = "beside"
    INSIDE = "inside"


BUNDLING_REMEDY = 'Write "heat" (by their heat), "table" (by the published table) or "none" (without bundle derating)'


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A battery or other supply. ``supply_a`` holds (condition, amperes that charge it)."""

    name: str
    place: str
    supply_a: tuple[tuple[str, float], ...] = ()
    capacity_ah: float | None = None

    def __post_init__(self) -> None:
        checks = Checks("sources", self.name)
        checks.named(self.name, "name")
        checks.need(bool(self.place), "place", None, "is empty, so the source is nowhere", "Name a place")
        checks.distinct([condition for condition, _ in self.supply_a], "supply")
        for _, amperes in self.supply_a:
            checks.not_negative(amperes, "supply")
        checks.positive(self.capacity_ah, "capacity")
        checks.done()


@dataclass(frozen=True, slots=True, kw_only=True)
class Margins:
    """Safety margins and allowances; every one has a stated default. Shares are fractions.

    ``bundle_wires`` and ``bundle_loading`` are the most wires of a bundle and the most that it is loaded to, of
    segments that state none of their own; only with ``Bundling.TABLE``.
    """

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
    bundle: Bundling = Bundling.HEAT
    cables: Cables = Cables.BESIDE
    bundle_wires: int | None = None
    bundle_loading: float | None = None
    ampacity: float = 0.80
    splice_wires: int = 4

    def __post_init__(self) -> None:
        checks = Checks("margins", None)
        for key in (
            "output_use",
            "unit_use",
            "fuse_use",
            "branch_drop",
            "feed_drop",
            "bundle_loading",
            "ampacity",
        ):
            checks.share(getattr(self, key), key)
        checks.within(self.trip, 1.0, 10.0, "trip")
        checks.within(self.route_factor, 1.0, 10.0, "route_factor")
        checks.not_negative(self.tail_m, "tail")
        checks.not_negative(self.ground_lead_m, "ground_lead")
        checks.not_negative(self.robust, "robust")
        checks.at_most(self.splice_wires, bounds.MOST_SPLICE_WIRES, "splice_wires")
        checks.need(self.splice_wires >= 3, "splice_wires", self.splice_wires, "is less than 3", "Give 3 or more")
        self._check_bundles(checks)
        checks.done()

    def _check_bundles(self, checks: Checks) -> None:
        """Bundles are held in one way, and what belongs to another way is not given."""
        # True and False were words for it once, and both would be taken for a way
        known = isinstance(self.bundle, Bundling)
        checks.need(known, "bundle", str(self.bundle), "does not say how bundles are treated", BUNDLING_REMEDY)
        checks.bundle_wires(self.bundle_wires, "bundle_wires")
        if known and self.bundle is not Bundling.TABLE:
            for key in ("bundle_wires", "bundle_loading"):
                wrong, remedy = 'is only meant with bundle = "table"', 'Leave it out, or write bundle = "table"'
                value = getattr(self, key)
                checks.need(value is None, key, value, wrong, remedy)
        if self.bundle is Bundling.NONE:
            wrong, remedy = 'has no effect with bundle = "none"', 'Leave it out, or write bundle = "heat" or "table"'
            checks.need(self.cables is Cables.BESIDE, "cables", self.cables, wrong, remedy)


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """Grams of copper that one of each is worth; ``unit_mass`` is the share of a unit's mass that counts."""

    unused_output_g: float = 15.0
    used_output_g: float = 17.0
    unit_mass: float = 0.0
    splice_g: float = 3.0
    move_g: float = 60.0

    def __post_init__(self) -> None:
        checks = Checks("objective", None)
        checks.not_negative(self.unused_output_g, "unused_output")
        checks.not_negative(self.used_output_g, "used_output")
        checks.not_negative(self.unit_mass, "unit_mass")
        checks.not_negative(self.splice_g, "splice")
        checks.not_negative(self.move_g, "move")
        checks.done()


@dataclass(frozen=True, slots=True, kw_only=True)
class WireRules:
    """Which wire may be used: least insulation rating, sizes on the shelf (empty: all), smallest area."""

    insulation_c: float = 100.0
    sizes: tuple[str, ...] = ()
    smallest_mm2: float = 0.5

    def __post_init__(self) -> None:
        checks = Checks("wire", None)
        checks.positive(self.insulation_c, "insulation")
        checks.not_negative(self.smallest_mm2, "smallest")
        checks.distinct(self.sizes, "sizes")
        checks.done()


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

    def __post_init__(self) -> None:
        checks = Checks("wire table", self.size)
        checks.named(self.size, "size")
        checks.positive(self.area_mm2, "area")
        checks.positive(self.insulation_c, "insulation")
        checks.positive(self.conductor_mm, "conductor")
        checks.positive(self.diameter_mm, "diameter")
        checks.positive(self.resistance_mohm_m, "resistance")
        checks.positive(self.mass_g_m, "mass")
        checks.within(self.lay, 1.0, 2.0, "lay")
        if not checks.found:
            self._check_diameters(checks)
        checks.done()

    def _check_diameters(self, checks: Checks) -> None:
        """Copper must fit into the conductor, and the conductor into the wire."""
        if self.conductor_mm is not None:
            # 2 % for rounded diameters of solid wires
            good = self.area_mm2 <= 1.02 * circle_mm2(self.conductor_mm)
            wrong = f"is too thin for {self.area_mm2:g} mm2 of copper"
            checks.need(good, "conductor", self.conductor_mm, wrong, "Check area and diameter")
        inner = self.conductor_mm or 0.0
        if self.diameter_mm is not None:
            good = self.diameter_mm > inner and 1.02 * circle_mm2(self.diameter_mm) > self.area_mm2
            checks.need(good, "diameter", self.diameter_mm, "is too thin for the conductor inside", "Check both")


@dataclass(frozen=True, slots=True, kw_only=True)
class WireTable:
    """Wires that may be used, sorted by area, then insulation."""

    name: str
    wires: tuple[Wire, ...]

    def __post_init__(self) -> None:
        checks = Checks("wire table", self.name)
        checks.need(bool(self.wires), "size", None, "has no row", "Give at least one wire")
        seen = set()
        for wire in self.wires:
            alike = (wire.size, wire.insulation_c)
            wrong = f"appears twice with an insulation of {wire.insulation_c:g} degC"
            checks.need(alike not in seen, "size", wire.size, wrong, "Keep only one of the rows")
            seen.add(alike)
        checks.done()

    def __hash__(self) -> int:
        # by name alone: tables are asked for in every cache, and to hash each row of one takes longer than what is kept
        return hash(self.name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Function:
    """Loads that do one thing together: ``survive`` of them outlive any one failure named in ``against``."""

    name: str
    loads: tuple[str, ...]
    survive: int
    against: tuple[str, ...]

    def __post_init__(self) -> None:
        checks = Checks("functions", self.name)
        checks.named(self.name, "name")
        checks.need(bool(self.loads), "loads", None, "is empty", "Name the loads of the function")
        checks.distinct(self.loads, "loads")
        checks.need(
            self.survive >= 1,
            "survive",
            self.survive,
            "is less than 1",
            "Say how many must survive a failure",
        )
        checks.need(bool(self.against), "against", None, "is empty", f"Name failures: {', '.join(FAILURES)}")
        checks.distinct(self.against, "against")
        for failure in self.against:
            remedy = f"Name some of: {', '.join(FAILURES)}"
            checks.need(failure in FAILURES, "against", failure, "is not a known failure", remedy)
        checks.done()
