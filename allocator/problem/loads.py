"""Loads: what is fitted, what it draws, where it sits and what it needs."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

from allocator.problem.self_checks import Checks

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

    def __post_init__(self) -> None:
        checks = Checks("loads", self.name)
        checks.named(self.name, "load")
        checks.positive(self.current_a, "current")
        for value, column in (
            (self.inrush_a, "inrush"),
            (self.inrush_s, "inrush_time"),
            (self.stall_a, "stall"),
        ):
            checks.positive(value, column)
        checks.positive(self.max_trip_a, "max_trip")
        checks.positive(self.min_volts_v, "min_volts")
        checks.not_negative(self.lead_m, "lead")
        checks.share(self.max_drop, "max_drop")
        checks.within(self.spread, 0.0, 1.0, "spread")
        checks.within(self.duty, 0.0, 1.0, "duty")
        checks.distinct(self.needs, "needs")
        for level in self.levels:
            checks.within(level, 0.0, 1.0, "levels")
        if not checks.found:
            self._check_currents(checks)
        self._check_supply(checks)
        checks.done()

    def _check_currents(self, checks: Checks) -> None:
        """Start and stall must leave room for the current itself."""
        checks.need(
            (self.inrush_a is None) == (self.inrush_s is None),
            "inrush" if self.inrush_a is None else "inrush_time",
            None,
            "is missing: a start current and its time belong together",
            "Give both or neither",
        )
        if self.inrush_a is not None:
            good = self.inrush_a >= self.current_a
            checks.need(
                good,
                "inrush",
                self.inrush_a,
                "is below the continuous current",
                "Give the current of the start",
            )
        if self.stall_a is not None:
            wrong = f"is not above the full current of {self.full_current_a:g} A, so that no trip lies between"
            checks.need(self.stall_a > self.full_current_a, "stall", self.stall_a, wrong, "Give the current at stall")

    def _check_supply(self, checks: Checks) -> None:
        """A load fed from the source has no output; a pinned output needs its unit."""
        wrong = "is an output without its unit"
        checks.need(self.output is None or self.unit is not None, "output", self.output, wrong, "Name the unit too")
        if self.supply is Supply.DIRECT:
            remedy = "Leave it empty, or let a unit supply the load"
            given = {
                "needs": ";".join(self.needs),
                "share": self.share,
                "together": self.together,
                "unit": self.unit,
            }
            for column, value in given.items():
                checks.need(not value, column, value, "is for loads that a unit supplies, and this is direct", remedy)

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
