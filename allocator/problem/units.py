"""Units: their ratings, banks and outputs, and where each may be mounted."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


@dataclass(frozen=True, slots=True, kw_only=True)
class OutputClass:
    """Outputs of one bank that are alike in every respect.

    ``peaks`` are (amperes, seconds). Trip settings are ``trips_a``, or the multiples of ``trip_step_a`` up to
    the continuous rating. ``wire_mm2`` is the range of conductor areas that the terminal accepts.
    """

    name: str
    pins: tuple[str, ...]
    continuous_a: float
    wire_mm2: tuple[float, float]
    bank: str | None = None
    peaks: tuple[tuple[float, float], ...] = ()
    retries: int = 0
    capabilities: tuple[str, ...] = ()
    parallel: int = 1
    parallel_use: float = 0.9
    trip_step_a: float | None = None
    trips_a: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Bank:
    """Outputs of one unit that share a rating."""

    name: str
    continuous_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitType:
    """A kind of power-distribution unit. ``hot`` holds (ambient in degC, share of every rating) points."""

    name: str
    continuous_a: float
    outputs: tuple[OutputClass, ...]
    mass_g: float = 0.0
    hot: tuple[tuple[float, float], ...] = ()
    sealed: bool = False
    banks: tuple[Bank, ...] = ()
    extra: tuple[tuple[str, str], ...] = ()

    def hot_share(self, ambient_c: float) -> float:
        """Share of every rating that is left at an ambient; 0 above the last point.

        Below the first point the share is that of the first point; between points the line is straight.
        """
        if not self.hot:
            return 1.0
        if ambient_c <= self.hot[0][0]:
            return self.hot[0][1]
        for (t0, s0), (t1, s1) in zip(self.hot, self.hot[1:], strict=False):
            if ambient_c <= t1:
                return s0 + (s1 - s0) * (ambient_c - t0) / (t1 - t0)
        return 0.0


class Fit(StrEnum):
    """Whether a unit must be fitted."""

    ALWAYS = "always"
    IF_NEEDED = "if needed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A unit of some type, where it may sit, and what is to stay free on it.

    ``spare`` holds (output class, number of outputs to keep free).
    """

    name: str
    type: str
    sites: tuple[str, ...]
    source: str
    fit: Fit = Fit.ALWAYS
    spare: tuple[tuple[str, int], ...] = ()
    spare_current_a: float = 0.0
    extra: tuple[tuple[str, str], ...] = ()
