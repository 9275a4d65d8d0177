"""What a wire has to carry, and a conductor that can, with what it takes of what is shared."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from allocator.options.lazy_rows import LazyRows
from allocator.problem import Line, Wire
from allocator.routing import Route

AREA_TOLERANCE = 0.005
"""Share by which an area may miss the end of a range: not everybody writes a size with the same digits."""


@dataclass(frozen=True, slots=True)
class Crossing:
    """A contact of a bulkhead that a conductor takes: any one of the ``accepted`` sets will do."""

    bulkhead: str
    accepted: frozenset[int]


@dataclass(frozen=True, slots=True)
class ConductorOption:
    """One wire, or ``count`` alike wires, of a circuit. ``members`` are the load groups whose current it carries.

    ``ampacity_a`` is that with the factors of its route; ``trip_a`` the trip or fuse it is behind, ``currents_a`` what
    it carries in each condition. ``bundles`` are segments with lazy rows in whose bundle it lies, ``side`` those of a
    cable's route in which it lies beside others, or beside a bundle with lazy rows; it bears ``at_most`` cables there,
    itself among them (None: as many as are counted, or more).
    """

    role: str
    wire: Wire
    route: Route
    length_m: float
    copper_g: float
    current_a: float
    ampacity_a: float
    drop_v: float
    count: int = 1
    crossings: tuple[Crossing, ...] = ()
    line: Line = Line.WIRE
    trip_a: float = 0.0
    currents_a: tuple[float, ...] = ()
    bundles: tuple[int, ...] = ()
    side: tuple[int, ...] = ()
    at_most: int | None = None
    members: tuple[tuple[int, int], ...] = ()

    @property
    def warmth(self) -> tuple[object, ...]:
        """What tells it apart in a bundle."""
        return (self.wire.size, self.wire.insulation_c, self.trip_a, self.currents_a)

    @property
    def footprint(self) -> tuple[object, ...]:
        """What it takes of what is shared: contacts, room beside cables, and in lazy segments what it is itself."""
        return (self.crossings, self.side, self.at_most, self.bundles, self.warmth if self.bundles else ())

    def seen(self, lazy: LazyRows) -> tuple[object, ...]:
        """Its footprint where no more than some segments have lazy rows."""
        bundles = tuple(e for e in self.bundles if e in lazy.bundles)
        side = tuple(e for e in self.side if e in lazy.segments)
        return (self.crossings, side, self.at_most if side else None, bundles, self.warmth if bundles else ())

    @property
    def all_copper_g(self) -> float:
        """Copper of all ``count`` wires."""
        return self.count * self.copper_g


def lightest_first(wires: Iterable[ConductorOption]) -> list[ConductorOption]:
    """Conductors by their copper, then by area and route."""
    return sorted(wires, key=lambda wire: (wire.copper_g, wire.wire.area_mm2, wire.route.places))


def in_range(area_mm2: float, limits: tuple[float, float]) -> bool:
    """Whether an area lies in a range, within the tolerance."""
    return limits[0] * (1.0 - AREA_TOLERANCE) <= area_mm2 <= limits[1] * (1.0 + AREA_TOLERANCE)


@dataclass(frozen=True, slots=True)
class Duty:
    """What a wire must bear: its current, the trip or fuse it sits behind, and what that lets through in a short.

    ``shares`` holds what it carries in each condition, as shares of that current.
    """

    current_a: float
    trip_a: float
    let_through_a2s: float
    shares: tuple[float, ...] = ()
