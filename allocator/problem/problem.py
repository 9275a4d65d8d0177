"""The whole of what is asked, frozen."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from allocator.notebook import shown
from allocator.problem import bounds
from allocator.problem.cross_checks import cross_mistakes
from allocator.problem.draft import PARTS, Draft
from allocator.problem.duplicates import duplicates
from allocator.problem.loads import Load
from allocator.problem.mistakes import ProblemError
from allocator.problem.network import Bulkhead, GivenWire, Line, Place, Run, Segment
from allocator.problem.self_checks import Checks
from allocator.problem.settings import Cables, Function, Margins, Prices, Source, WireRules, WireTable
from allocator.problem.units import Unit, UnitType
from allocator.table import Table, texts


@dataclass(frozen=True, kw_only=True)
class Problem:
    """Everything that the answer depends on. Lengths in m, areas in mm2, temperatures in degC, currents in A.

    ``defaults`` names what the input left open and what was taken; ``digest`` is the SHA-256 of what was
    read.
    """

    name: str
    nominal_v: float
    running_v: float
    lowest_v: float
    loads: tuple[Load, ...]
    places: tuple[Place, ...]
    unit_types: tuple[UnitType, ...]
    units: tuple[Unit, ...]
    sources: tuple[Source, ...]
    wires: WireTable
    feed_wires: WireTable
    ambient_c: float = 45.0
    altitude_m: float = 0.0
    conditions: tuple[str, ...] = ("all on",)
    segments: tuple[Segment, ...] = ()
    runs: tuple[Run, ...] = ()
    bulkheads: tuple[Bulkhead, ...] = ()
    functions: tuple[Function, ...] = ()
    given_wires: tuple[GivenWire, ...] = ()
    margins: Margins = field(default_factory=Margins)
    prices: Prices = field(default_factory=Prices)
    wire_rules: WireRules = field(default_factory=WireRules)
    defaults: tuple[str, ...] = field(default=(), compare=False)
    digest: str = field(default="", compare=False)

    def __post_init__(self) -> None:
        checks = check_system(self.nominal_v, self.running_v, self.lowest_v, self.conditions)
        checks.finite(self.ambient_c, "ambient")
        checks.finite(self.altitude_m, "altitude")
        draft = draft_of(self)
        mistakes = (*checks.found, *duplicates(draft), *cross_mistakes(draft))
        if mistakes:
            raise ProblemError(mistakes)

    @cached_property
    def load(self) -> dict[str, Load]:
        """Loads by name."""
        return {load.name: load for load in self.loads}

    @cached_property
    def place(self) -> dict[str, Place]:
        """Places by name."""
        return {place.name: place for place in self.places}

    @cached_property
    def unit(self) -> dict[str, Unit]:
        """Units by name."""
        return {unit.name: unit for unit in self.units}

    @cached_property
    def unit_type(self) -> dict[str, UnitType]:
        """Unit types by name."""
        return {unit_type.name: unit_type for unit_type in self.unit_types}

    @cached_property
    def source(self) -> dict[str, Source]:
        """Sources by name."""
        return {source.name: source for source in self.sources}

    @cached_property
    def bulkhead(self) -> dict[str, Bulkhead]:
        """Bulkheads by name."""
        return {bulkhead.name: bulkhead for bulkhead in self.bulkheads}

    @cached_property
    def run(self) -> dict[tuple[str, str], Run]:
        """Measured runs by load, or item, and site."""
        return {(run.load, run.site): run for run in reversed(self.runs)}

    def _repr_html_(self) -> str:
        facts = [
            ("voltages", f"{self.nominal_v:g} V nominal, {self.running_v:g} V running, {self.lowest_v:g} V lowest"),
            ("conditions", self.conditions),
            ("loads", len(self.loads)),
            ("places", len(self.places)),
            ("segments", len(self.segments)),
            ("bulkheads", len(self.bulkheads)),
            ("functions", len(self.functions)),
            ("SHA-256", self.digest),
        ]
        rows = tuple((unit.name, unit.type, unit.sites, unit.source, unit.fit) for unit in self.units)
        units = Table(columns=texts("unit", "type", "sites", "source", "fit"), rows=rows)
        return shown(f"Problem {self.name}", facts, units)

    def segment_ambient_c(self, segment: Segment) -> float:
        """Ambient of a segment, the system's where it gives none."""
        return self.ambient_c if segment.ambient_c is None else segment.ambient_c

    def stated_of(self, segment: Segment) -> tuple[int, float]:
        """Most wires and the loading that are stated for the bundle of a segment: its own, or the margins'.

        Where bundles go by the table both are stated for every segment; elsewhere this is one wire.
        """
        wires = self.margins.bundle_wires if segment.wires is None else segment.wires
        loading = self.margins.bundle_loading if segment.loading is None else segment.loading
        return wires or 1, loading or 1.0

    def line_of(self, size: str) -> Line:
        """What a given wire is: a cable where only the cable table has its size."""
        return Line.WIRE if any(wire.size == size for wire in self.wires.wires) else Line.CABLE

    def lies_beside(self, line: Line) -> bool:
        """Whether such a line lies beside the bundles, and not in them."""
        return line is Line.CABLE and self.margins.cables is Cables.BESIDE

    def place_ambient_c(self, place: str) -> float:
        """Ambient of a place, the system's where it gives none."""
        own = self.place[place].ambient_c
        return self.ambient_c if own is None else own


def check_system(nominal_v: float, running_v: float, lowest_v: float, conditions: tuple[str, ...]) -> Checks:
    """Checks of the system: the lowest voltage is the lowest, and conditions have names of their own.

    Parameters
    ----------
    nominal_v
        Nominal voltage in V.
    running_v
        Voltage while running, in V.
    lowest_v
        Lowest voltage in V.
    conditions
        Names of the operating conditions.
    """
    checks = Checks("system", None)
    for value, key in ((nominal_v, "nominal"), (running_v, "running"), (lowest_v, "lowest")):
        checks.positive(value, key)
        wrong = f"is below the lowest voltage of {lowest_v:g} V"
        checks.need(not value < lowest_v, key, f"{value:g} V", wrong, "Give the lowest voltage as the lowest")
    checks.need(bool(conditions), "conditions", None, "are missing", "Name at least one")
    checks.at_most(len(conditions), bounds.MOST_CONDITIONS, "conditions", "Keep those that load the system most")
    for condition in conditions:
        checks.named(condition, "conditions")
    checks.distinct(conditions, "conditions")
    return checks


def draft_of(problem: Problem) -> Draft:
    """A whole problem as a draft without gaps."""
    known = {
        "loads": frozenset(load.name for load in problem.loads),
        "items": frozenset(load.item for load in problem.loads),
        "places": frozenset(place.name for place in problem.places),
        "unit_types": frozenset(unit_type.name for unit_type in problem.unit_types),
        "units": frozenset(unit.name for unit in problem.units),
        "sources": frozenset(source.name for source in problem.sources),
        "bulkheads": frozenset(bulkhead.name for bulkhead in problem.bulkheads),
    }
    return Draft(
        known=known,
        whole=frozenset(PARTS),
        conditions=problem.conditions,
        lowest_v=problem.lowest_v,
        loads=problem.loads,
        places=problem.places,
        segments=problem.segments,
        runs=problem.runs,
        given_wires=problem.given_wires,
        unit_types=problem.unit_types,
        units=problem.units,
        sources=problem.sources,
        bulkheads=problem.bulkheads,
        functions=problem.functions,
        wires=problem.wires,
        feed_wires=problem.feed_wires,
        wire_rules=problem.wire_rules,
        margins=problem.margins,
    )
