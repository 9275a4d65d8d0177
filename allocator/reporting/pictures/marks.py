"""Colours and short marks. Whatever has a colour also has a letter, a shape or a line of its own."""

from __future__ import annotations

from collections.abc import Sequence

from allocator.layout import Layout
from allocator.problem import Problem

# Okabe and Ito, "Color Universal Design" (2008): told apart with any common colour vision (values from memory)
BLUE, ORANGE, GREEN, PURPLE, SKY, RED, YELLOW = (
    "#0072b2", "#e69f00", "#009e73", "#cc79a7", "#56b4e9", "#d55e00", "#f0e442",
)  # fmt: skip
HUES = (BLUE, ORANGE, GREEN, PURPLE, SKY, RED, YELLOW)
INK, QUIET, FAINT, PAPER = "#1d2327", "#59636b", "#c3cad0", "#ffffff"
DIRECT, UNFED = "D", "?"
_DARK = {BLUE, GREEN, RED}


class Marks:
    """A mark and a colour for each unit of a problem, in its order; sources, direct and unfed loads have their own."""

    def __init__(self, problem: Problem, layout: Layout):
        self.unit = {unit.name: f"{n}" for n, unit in enumerate(problem.units, 1)}
        self._hue = {unit.name: HUES[n % len(HUES)] for n, unit in enumerate(problem.units)}
        self._fed_by = {load: circuit.unit for circuit in layout.circuits for load in circuit.loads}
        self._direct = {direct.load for direct in layout.direct}

    def of_unit(self, name: str) -> tuple[str, str]:
        """Mark and colour of a unit."""
        return self.unit.get(name, UNFED), self._hue.get(name, FAINT)

    def of_load(self, name: str) -> tuple[str, str]:
        """Mark and colour of a load: those of the unit that feeds it."""
        if name in self._fed_by:
            return self.of_unit(self._fed_by[name])
        return (DIRECT, PAPER) if name in self._direct else (UNFED, PAPER)


def over(hue: str) -> str:
    """The colour of letters that can be read on a colour."""
    return PAPER if hue in _DARK else INK


def shades(names: Sequence[str]) -> list[str]:
    """One grey blue for each name, from light to dark: they differ in lightness, so that no hue is needed."""
    light, dark = (0xB9, 0xD3, 0xE6), (0x0B, 0x33, 0x4F)
    steps = [n / max(1, len(names) - 1) for n in range(len(names))]
    return [
        "#" + "".join(f"{round(low + (high - low) * step):02x}" for low, high in zip(light, dark, strict=True))
        for step in steps
    ]
