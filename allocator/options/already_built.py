"""What is built already: wires whose copper is sunk, and units that are told apart by name."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field

from allocator.problem import Wire


@dataclass(frozen=True, slots=True)
class FinishedWire:
    """A wire as it was built: its places, size, insulation class, length, and the contact set of each crossing."""

    places: tuple[str, ...]
    size: str
    insulation_c: float | None
    length_m: float | None
    sets: tuple[int, ...] = ()

    def serves(self, places: tuple[str, ...], wire: Wire, length_m: float) -> bool:
        """Whether it is this wire along this way: of the same size and class, and not too short by now."""
        alike = (self.places, self.size) == (places, wire.size) and self.insulation_c in (None, wire.insulation_c)
        return alike and (self.length_m is None or length_m <= self.length_m + LENGTH_TOLERANCE_M)


LENGTH_TOLERANCE_M = 0.001
"""By how much a way may have grown before the wire along it is too short."""


@dataclass(frozen=True)
class AlreadyBuilt:
    """What an option list has to know of what is built.

    ``units`` are told apart by name. ``returns`` are finished return wires by load; loads that are alike but for
    them are not counted together.
    """

    units: frozenset[str] = frozenset()
    returns: Mapping[str, FinishedWire] = field(default_factory=dict)

    def history(self, load: str) -> Hashable:
        """What tells loads apart that are alike otherwise."""
        return self.returns.get(load)
