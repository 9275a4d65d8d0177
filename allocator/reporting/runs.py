"""The ways of a layout's wires through the machine: run of each load, and what lies in each stretch between places."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from allocator.evaluation.bundle_figures import Bundle, bundles_of
from allocator.evaluation.context import Context
from allocator.layout import Layout, PlacedWire
from allocator.problem import Problem

OUT, RETURN, FEED = "out", "return", "feed"


@dataclass(frozen=True, slots=True)
class Run:
    """One wire on its way: ``role`` is out (trunks and branches too), return or feed."""

    role: str
    route: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """What lies between two neighbouring places; ``copper_g_m`` is grams of copper in each metre of it.

    ``bundle`` is what the check says of the segment; ``wires`` counts all that lies there, cables too. Nothing lies in
    a stretch with ``wires`` 0.
    """

    start: str
    end: str
    length_m: float | None = None
    bulkhead: str | None = None
    wires: int = 0
    copper_g_m: float = 0.0
    bundle: Bundle | None = None

    @property
    def name(self) -> str:
        """Words for a list."""
        return f"{self.start} - {self.end}"


@dataclass(slots=True)
class _Laid:
    wires: int = 0
    copper_g_m: float = 0.0


def runs_of(layout: Layout, load: str) -> tuple[Run, ...]:
    """Every wire that carries the current of a load, and the feed of its unit; nothing where it is fed by nothing."""
    found: list[Run] = []
    for circuit in layout.circuits:
        if load in circuit.loads:
            found += _behind(circuit.wires, load) + feeds_of(layout, circuit.unit)
    for direct in layout.direct:
        if load == direct.load:
            found += _behind(direct.wires, load)
    return tuple(found)


def _behind(wires: tuple[PlacedWire, ...], load: str) -> list[Run]:
    """The wires of a circuit that carry the current of a load; all of them where they do not say."""
    own = [wire for wire in wires if not wire.loads or load in wire.loads]
    return [Run(RETURN if wire.role == "return" else OUT, wire.route) for wire in own]


def feeds_of(layout: Layout, unit: str) -> list[Run]:
    """The feed of a unit, where it has one."""
    return [Run(FEED, one.feed.route) for one in layout.units if one.name == unit and one.feed is not None]


def _routes(layout: Layout) -> Iterator[tuple[tuple[str, ...], int, float]]:
    """Route, wires and grams of copper a metre of all wires laid along it."""
    wires = [wire for circuit in layout.circuits for wire in circuit.wires]
    wires += [wire for direct in layout.direct for wire in direct.wires]
    feeds = [unit.feed for unit in layout.units if unit.feed is not None]
    yield from ((wire.route, 1, _g_m(wire.copper_g, wire.length_m)) for wire in wires)
    yield from ((feed.route, 1, _g_m(feed.copper_g, feed.length_m)) for feed in feeds)
    for given in layout.given:
        # the mass is that of all cores, the length that of one
        yield given.route, given.cores, _g_m(given.copper_g, given.length_m)


def _g_m(copper_g: float | None, length_m: float | None) -> float:
    """Grams in each metre; 0 where one of the two is not known."""
    return copper_g / length_m if copper_g and length_m else 0.0


def stretches(context: Context, layout: Layout) -> tuple[Stretch, ...]:
    """Every segment of the problem in its order, empty ones too; then stretches that only wires make."""
    laid: dict[frozenset[str], _Laid] = defaultdict(_Laid)
    for route, wires, copper_g_m in _routes(layout):
        for ends in (frozenset(pair) for pair in pairwise(route) if pair[0] != pair[1]):
            laid[ends].wires += wires
            laid[ends].copper_g_m += copper_g_m
    bundles = {bundle.segment: bundle for bundle in bundles_of(context)}
    found = {}
    for n, segment in enumerate(context.problem.segments):
        ends = frozenset((segment.start, segment.end))
        here = laid.pop(ends, _Laid())
        found[ends] = Stretch(
            start=segment.start,
            end=segment.end,
            length_m=segment.length_m,
            bulkhead=segment.bulkhead,
            wires=here.wires,
            copper_g_m=here.copper_g_m,
            bundle=bundles.get(n),
        )
    rest = (
        Stretch(start=a, end=b, wires=laid[ends].wires, copper_g_m=laid[ends].copper_g_m)
        for ends in laid
        for a, b in [sorted(ends)]
    )
    return (*found.values(), *rest)


def fed_by(problem: Problem, layout: Layout) -> dict[str, str]:
    """What feeds each load of the problem, in words; loads that nothing feeds are left out."""
    found = {load: f"unit {circuit.unit}" for circuit in layout.circuits for load in circuit.loads}
    return found | {load: f"source {source}" for load, source in fused_at(problem, layout).items()}


def fused_at(problem: Problem, layout: Layout) -> dict[str, str]:
    """The source at which each direct load is fused."""
    return {direct.load: direct.source or problem.sources[0].name for direct in layout.direct}
