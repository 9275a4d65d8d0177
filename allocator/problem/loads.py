"""Loads: what is fitted, what it draws, where it sits and what it needs."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

CHASSIS = "chassis"
SOURCE = "source"


class Kind(StrEnum):
    """How the current of a load follows its voltage."""

    RESISTIVE = "resistive"
    MOTOR = "motor"
    CONSTANT_POWER = "constant power"


class Supply(StrEnum):
    """Where a load gets its current from."""

    UNIT = "unit"
    DIRECT = "direct"


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One consumer.

    A schedule row with quantity *n* makes *n* loads of one ``item``. ``levels`` holds one level (0 to 1) per
    condition of the problem, in its order. Shares (``max_drop``, ``spread``, ``duty``) are fractions.
    """

    name: str
    item: str
    place: str
    current_a: float
    kind: Kind = Kind.RESISTIVE
    type: str = ""
    inrush_a: float | None = None
    inrush_s: float | None = None
    stall_a: float | None = None
    max_trip_a: float | None = None
    needs: tuple[str, ...] = ()
    share: str | None = None
    together: str | None = None
    max_drop: float | None = None
    min_volts_v: float | None = None
    return_to: str = CHASSIS
    lead_m: float = 0.0
    supply: Supply = Supply.UNIT
    unit: str | None = None
    output: str | None = None
    spread: float = 0.0
    levels: tuple[float, ...] = (1.0,)
    duty: float = 1.0
    extra: tuple[tuple[str, str], ...] = ()

    @property
    def bridge(self) -> bool:
        """Whether the load reverses, and so takes two outputs and two wires."""
        return "bridge" in self.needs

    @property
    def full_current_a(self) -> float:
        """Current with the whole spread: what output, trip and wire are sized for."""
        return self.current_a * (1.0 + self.spread)

    def heating(self, condition: int) -> float:
        """Share of the current that heats in a condition: a dimmed load at level *d* heats like sqrt(*d*)."""
        level = self.levels[condition]
        return sqrt(level) if "dim" in self.needs else level
