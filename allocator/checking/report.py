"""What a check hands back: violations, each with an amount and a unit."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from allocator.evaluation.context import Context
from allocator.evaluation.prepare import of_completed
from allocator.layout import Layout, Totals
from allocator.notebook import shown
from allocator.table import Table, figure, text


class Breach(NamedTuple):
    """What a rule finds: a violation that does not name its rule yet."""

    object: str
    amount: float
    unit: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Violation:
    """One broken rule: ``object`` breaks it by ``amount`` (in ``unit``); ``text`` says so in a sentence."""

    rule: str
    object: str
    amount: float
    unit: str
    text: str

    def __str__(self) -> str:
        return f"{self.rule}: {self.text}"


_COLUMNS = (
    text("rule"), text("object"), figure("amount", digits=3, significant=4), text("unit", whole=True), text("what"),
)  # fmt: skip


def violation_table(found: Iterable[Violation]) -> Table:
    """One row per violation, in the order of the rules."""
    rows = tuple((one.rule, one.object, one.amount, one.unit, one.text) for one in found)
    return Table(columns=_COLUMNS, rows=rows)


@dataclass(frozen=True, kw_only=True)
class Report:
    """Every violation found, and the layout completed, with all its figures recomputed from its decisions.

    ``stated`` is the evaluation of the layout as it was stated, which the rules looked at.
    """

    violations: tuple[Violation, ...]
    layout: Layout
    stated: Context = field(repr=False, compare=False)

    def _repr_html_(self) -> str:
        title = "Clean: the layout breaks no rule" if self.clean else f"{len(self.violations)} violations of the rules"
        return shown(title, [], violation_table(self.violations))

    @cached_property
    def context(self) -> Context:
        """The completed layout, resolved against the problem: for lists, page and margins."""
        return of_completed(self.stated, self.layout)

    @property
    def clean(self) -> bool:
        """Whether no rule is broken."""
        return not self.violations

    @property
    def totals(self) -> Totals | None:
        """Recomputed totals."""
        return self.layout.totals

    @property
    def objective_g(self) -> float | None:
        """Recomputed objective, in grams of copper."""
        return self.layout.objective_g


def number(value: float) -> str:
    """A figure as it stands in a sentence: four significant digits or whole, no trailing zeros."""
    return f"{value:.0f}" if abs(value) >= 1000.0 else f"{value:.4g}"
