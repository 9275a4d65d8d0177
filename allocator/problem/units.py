"""Units: their ratings, banks and outputs, and where each may be mounted."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from allocator.problem import bounds
from allocator.problem.self_checks import Checks


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

    def __post_init__(self) -> None:
        checks = Checks("outputs", self.name)
        checks.named(self.name, "class")
        checks.need(bool(self.pins), "pins", None, "is empty", "Name the pin of each output")
        checks.at_most(len(self.pins), bounds.MOST_NAMES, "pins", "Split the outputs into several classes")
        for pin in self.pins:
            checks.named(pin, "pins")
        checks.distinct(self.pins, "pins")
        checks.positive(self.continuous_a, "continuous")
        checks.wire_range(self.wire_mm2, "wire")
        checks.not_negative(self.retries, "retries")
        checks.at_most(self.retries, bounds.MOST_RETRIES, "retries")
        checks.distinct(self.capabilities, "capabilities")
        checks.need(self.parallel >= 1, "parallel", self.parallel, "is less than 1", "Give 1 or more")
        checks.at_most(self.parallel, bounds.MOST_PARALLEL, "parallel")
        checks.share(self.parallel_use, "parallel_use")
        self._check_peaks(checks)
        self._check_trips(checks)
        checks.done()

    def _check_peaks(self, checks: Checks) -> None:
        """A longer peak is not a higher one, and none is below the continuous rating."""
        checks.at_most(len(self.peaks), bounds.MOST_POINTS, "peaks", "Give fewer points")
        for amperes, seconds in self.peaks:
            checks.positive(seconds, "peaks")
            wrong = f"is below the continuous rating of {self.continuous_a:g} A"
            checks.need(
                amperes >= self.continuous_a,
                "peaks",
                f"{amperes:g} A",
                wrong,
                "Give the current that it withstands for a short time",
            )
        for (high, short), (low, long) in pairwise(sorted(self.peaks, key=lambda peak: peak[1])):
            wrong = f"for {long:g} s is more than the {high:g} A for {short:g} s"
            good = low <= high and short < long
            checks.need(good, "peaks", f"{low:g} A", wrong, "Give less current for a longer time")

    def _check_trips(self, checks: Checks) -> None:
        """Steps or settings, not both, and at least one that the rating allows."""
        checks.positive(self.trip_step_a, "trip_step")
        for trip in self.trips_a:
            checks.positive(trip, "trips")
        checks.distinct([f"{trip:g} A" for trip in self.trips_a], "trips")
        if (self.trip_step_a is None) == (not self.trips_a):
            wrong = "is missing" if self.trip_step_a is None else "is given beside trips"
            checks.need(False, "trip_step", None, wrong, "Give trip_step, or trips, and not both")
            return
        field = "trip_step" if self.trip_step_a is not None else "trips"
        least = self.trip_step_a if self.trip_step_a is not None else min(self.trips_a)
        wrong = f"leaves no trip setting at or below the continuous rating of {self.continuous_a:g} A"
        remedy = "Give a smaller step" if field == "trip_step" else "Give a setting within the rating"
        checks.need(least <= self.continuous_a, field, f"{least:g} A", wrong, remedy)
        if not checks.found:
            self._check_number_of_trips(checks, field)

    def _check_number_of_trips(self, checks: Checks, field: str) -> None:
        """Every setting is tried for every load, so a slip in the step must not make millions of them."""
        most = bounds.MOST_TRIP_SETTINGS
        by_step = self.trip_step_a is not None
        number = self.continuous_a / self.trip_step_a if self.trip_step_a is not None else len(self.trips_a)
        shown = f"{self.trip_step_a:g} A" if by_step else str(len(self.trips_a))
        wrong = f"makes {number:,.0f} trip settings up to {self.continuous_a:g} A, more than the {most:,} that are read"
        remedy = "Give a larger step" if by_step else "Leave out settings"
        checks.need(number <= most, field, shown, wrong, remedy)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bank:
    """Outputs of one unit that share a rating."""

    name: str
    continuous_a: float

    def __post_init__(self) -> None:
        checks = Checks("banks", self.name)
        checks.named(self.name, "name")
        checks.positive(self.continuous_a, "continuous")
        checks.done()


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

    def __post_init__(self) -> None:
        checks = Checks("unit_types", self.name)
        checks.named(self.name, "name")
        checks.positive(self.continuous_a, "continuous")
        checks.not_negative(self.mass_g, "mass")
        checks.at_most(len(self.hot), bounds.MOST_POINTS, "hot", "Give fewer points")
        checks.at_most(len(self.outputs), bounds.MOST_CLASSES, "outputs", "Put alike outputs into one class")
        checks.at_most(len(self.banks), bounds.MOST_CLASSES, "banks")
        for (low, _), (high, _) in pairwise(self.hot):
            wrong = f"does not rise above the {low:g} degC before it"
            checks.need(high > low, "hot", f"{high:g} degC", wrong, "List the temperatures from low to high")
        for _, share in self.hot:
            checks.within(share, 0.0, 1.0, "hot")
        self._check_outputs(checks)
        checks.done()

    def _check_outputs(self, checks: Checks) -> None:
        """Banks that exist, and no pin, bank or class of a bank twice."""
        checks.need(bool(self.outputs), "outputs", None, "is empty", "Give at least one class of outputs")
        checks.distinct([bank.name for bank in self.banks], "banks")
        checks.distinct([pin for output in self.outputs for pin in output.pins], "outputs")
        banks = {bank.name for bank in self.banks}
        remedy = "Name one of its banks" if banks else "Give the type banks, or leave the bank out"
        seen = set()
        for output in self.outputs:
            wrong = f"is not a bank of this type, but class '{output.name}' names it"
            known = output.bank is None or output.bank in banks
            checks.need(known, "outputs", output.bank, wrong, remedy)
            wrong = "is a class without a bank in a type that has banks"
            checks.need(output.bank is not None or not banks, "outputs", output.name, wrong, "Name its bank")
            alike = (output.name, output.bank)
            remedy_twice = "Put its pins together, or give it another name"
            checks.need(alike not in seen, "outputs", output.name, "is a class given twice", remedy_twice)
            seen.add(alike)

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

    def __post_init__(self) -> None:
        checks = Checks("units", self.name)
        checks.named(self.name, "name")
        checks.need(bool(self.sites), "sites", None, "is empty, so the unit has nowhere to sit", "Name a place")
        checks.distinct(self.sites, "sites")
        checks.distinct([name for name, _ in self.spare], "spare")
        for _, count in self.spare:
            checks.not_negative(count, "spare")
        checks.not_negative(self.spare_current_a, "spare_current")
        checks.done()
