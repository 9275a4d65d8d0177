"""What each object checks of itself when it is made: bounds, and values that contradict each other.

Mistakes name their field as the tables and the settings do (``max_trip``, not ``max_trip_a``), so that a
reader only has to say where it stands.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite, pi

from allocator.problem import bounds
from allocator.problem.mistakes import Mistake, ProblemError


class Checks:
    """Mistakes of one object, collected and raised together."""

    def __init__(self, table: str, row: str | None):
        self.table = table
        self.row = row or None
        self.found: list[Mistake] = []

    def need(self, good: bool, field: str, value: object, wrong: str, remedy: str) -> None:
        """Record a mistake where a value is not good.

        Parameters
        ----------
        good
            Whether it is.
        field
            Its field, as the tables and the settings name it.
        value
            The value; None where there is none to show.
        wrong
            What is wrong with it, to follow the field.
        remedy
            What to do.
        """
        if not good:
            shown = None if value is None else value if isinstance(value, str) else f"{value:g}"
            self.found.append(
                Mistake(table=self.table, row=self.row, field=field, value=shown, wrong=wrong, remedy=remedy)
            )

    def named(self, name: str, field: str) -> None:
        """A name must be there, on one line, without the mark that parts names in a list."""
        self.need(bool(name.strip()), field, None, "is empty", "Give a name")
        odd = not name.isprintable() or ";" in name
        self.need(not odd, field, name, "contains a semicolon or a character that cannot be printed", "Leave it out")

    def positive(self, value: float | None, field: str) -> None:
        """More than 0 and finite, where given."""
        good = value is None or (isfinite(value) and value > 0.0)
        self.need(good, field, value, "is not more than 0", "Give more than 0")

    def not_negative(self, value: float | None, field: str) -> None:
        """0 or more and finite, where given."""
        good = value is None or (isfinite(value) and value >= 0.0)
        self.need(good, field, value, "is not 0 or more", "Give 0 or more")

    def finite(self, value: float | None, field: str) -> None:
        """Finite, where given."""
        self.need(value is None or isfinite(value), field, value, "is not finite", "Give a finite number")

    def at_most(self, count: float, most: int, field: str, remedy: str = "Check the number") -> None:
        """No more than any machine has of it.

        Parameters
        ----------
        count
            How many there are.
        most
            The most that is allowed.
        field
            The field that is named in the mistake.
        remedy
            What to do.
        """
        self.need(count <= most, field, f"{count:.15g}", f"is more than {most:,}, the most that is read", remedy)

    def within(self, value: float | None, low: float, high: float, field: str) -> None:
        """Between two bounds, where given.

        Parameters
        ----------
        value
            The value; None where it is not given, and then it passes.
        low
            Lower bound, allowed itself.
        high
            Upper bound, allowed itself.
        field
            The field that is named in the mistake.
        """
        good = value is None or low <= value <= high
        self.need(good, field, value, f"is not from {low:g} to {high:g}", f"Give {low:g} to {high:g}")

    def share(self, value: float | None, field: str) -> None:
        """More than 0 and at most 1, where given."""
        good = value is None or 0.0 < value <= 1.0
        self.need(good, field, value, "is not a share above 0, up to 1", "Give more than 0, at most 1")

    def bundle_wires(self, count: int | None, field: str) -> None:
        """At least one wire in a bundle, where given, and no more than any bundle has."""
        if count is not None:
            self.need(count >= 1, field, count, "is less than 1", "Give the most wires that may lie there, 1 or more")
            self.at_most(count, bounds.MOST_BUNDLE_WIRES, field)

    def distinct(self, names: Iterable[str], field: str) -> None:
        """No name twice."""
        seen: set[str] = set()
        for name in names:
            self.need(name not in seen, field, name, "is named twice", "Name it once")
            seen.add(name)

    def wire_range(self, wire_mm2: tuple[float, float], field: str) -> None:
        """Least size first, both more than 0."""
        low, high = wire_mm2
        good = 0.0 < low <= high and isfinite(high)
        value = f"{low:g} mm2 to {high:g} mm2"
        self.need(
            good,
            field,
            value,
            "is not a range from the smaller size to the larger",
            "Write the smaller first",
        )

    def done(self) -> None:
        """Raise what was found."""
        if self.found:
            raise ProblemError(self.found)


def circle_mm2(diameter_mm: float) -> float:
    """Area of a round conductor, gaps between its strands included."""
    return pi / 4.0 * diameter_mm**2
