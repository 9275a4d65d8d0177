"""A layout that is about to be built: completed, checked, with labels, and the pieces that its wires are cut into."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from allocator.analysis.margins import LayoutMargins, margins_of
from allocator.checking import Report
from allocator.evaluation.branches import Fed
from allocator.evaluation.context import Context
from allocator.evaluation.network_volts import NetworkVolts, volts_of
from allocator.layout import Layout
from allocator.problem import Problem
from allocator.reporting.labels import Labels, labels_of
from allocator.reporting.lists.pieces import Piece, pieces_of
from allocator.reporting.whole_wires import wires_of
from allocator.reporting.without_derating import BESIDE, beside

CUT_STEP_M = 0.05
"""Cut lengths are rounded up to whole steps of this."""

WASTE = 0.10
"""Share of wire that is bought over what is cut: wrong cuts, ends of reels (common practice, no source)."""


@dataclass(frozen=True)
class Build:
    """What every list is made of. ``report`` holds the completed layout and the rules that it breaks.

    ``made_for`` is the hash that the layout states, ``in_place`` the labels of wires that a revision leaves where they
    are.
    """

    problem: Problem
    report: Report
    made_for: str = ""
    cut_step_m: float = CUT_STEP_M
    waste: float = WASTE
    in_place: frozenset[str] = frozenset()

    @property
    def layout(self) -> Layout:
        """The completed layout, every figure recomputed."""
        return self.report.layout

    @property
    def digest(self) -> str:
        """SHA-256 of the problem that the lists are for; of one made in Python, what the layout says."""
        return self.problem.digest or self.made_for

    @property
    def state(self) -> str:
        """The status of the layout; that it breaks rules, or is of another state of the problem, goes before it."""
        broken = len(self.report.violations)
        if broken:
            return f"BREAKS {broken} {'RULE' if broken == 1 else 'RULES'}"
        return "made for another state of the problem" if self.doubtful else self.layout.status

    @property
    def doubtful(self) -> bool:
        """Whether the layout says that it was made for another state of the problem."""
        return bool(self.made_for and self.made_for != self.digest)

    @property
    def context(self) -> Context:
        """The completed layout, resolved against the problem."""
        return self.report.context

    @property
    def volts(self) -> NetworkVolts:
        """Volts and currents all over the layout."""
        return volts_of(self.context)

    @property
    def margins(self) -> LayoutMargins:
        """What is left at each wire."""
        return margins_of(self.context)

    @cached_property
    def labels(self) -> Labels:
        """Labels of all wires."""
        return labels_of(self.layout)

    @cached_property
    def _label_of(self) -> dict[str, str]:
        found: dict[str, str] = {}
        for wire in wires_of(self.context, self.labels):
            if wire.conductor is not None:
                found.setdefault(wire.conductor.label, wire.label)
        return found

    def label_of(self, called: str) -> str:
        """The label of a wire that the check calls so; of alike cores of a given wire the first."""
        return self._label_of.get(called, called)

    @cached_property
    def beside(self) -> frozenset[str]:
        """Labels of the cables that lie tied beside a bundle."""
        return beside(self.context, self.labels)

    def lies(self, label: str) -> str:
        """Where a wire lies that is not in the bundle of its segments; nothing of all others."""
        return BESIDE if label in self.beside else ""

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """Every piece of wire, in the order of the layout."""
        return pieces_of(self.context, self.labels)

    @cached_property
    def at_pin(self) -> dict[tuple[int, int], Piece]:
        """The first piece at each output: by the number of the circuit and of the pin in it."""
        found: dict[tuple[int, int], Piece] = {}
        for piece in self.pieces:
            if piece.circuit is not None and piece.from_pin and piece.number == 0:
                pins = self.layout.circuits[piece.circuit].pins
                found.setdefault((piece.circuit, pins.index(piece.from_pin)), piece)
        return found

    def pin_current_a(self, fed: Fed) -> float:
        """Full current of each output: of outputs in parallel its part, of a bridge pair all."""
        return fed.current_a / fed.parallel

    def carried(self, loads: tuple[str, ...], names: frozenset[str]) -> str:
        """What the schedule says of loads in those of its own columns that have one of these names."""
        return said((self.problem.load[name].extra for name in loads if name in self.problem.load), names)

    def said_of_wire(self, given: str, names: frozenset[str]) -> str:
        """The same of a given wire, from its table."""
        return said((wire.extra for wire in self.problem.given_wires if wire.name == given), names)


def said(extras: Iterable[tuple[tuple[str, str], ...]], names: frozenset[str]) -> str:
    """What rows say under headings of one meaning, each once."""
    cells = (cell for extra in extras for heading, cell in extra if cell and plain(heading) in names)
    return "; ".join(dict.fromkeys(cells))


def plain(heading: str) -> str:
    """A heading of the schedule in small letters, one blank between words."""
    return " ".join(heading.replace("_", " ").replace("-", " ").casefold().split())
